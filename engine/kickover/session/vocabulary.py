"""The words of riders as meanings: stems, other words for the same thing, near spellings, and what is denied.

`Vocabulary.understood` turns a line into a set of meanings. A denied meaning is there twice, plain and with a
mark, so that "won't start" is nearer to "will not start" than "starts" is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

DENIED = "not "
"""The mark before a meaning that is denied."""

_VERY = "="
"""The mark before a very word, where words are kept beside meanings."""

_EMPTY = frozenset(
    re.findall(
        r"[a-z]+",
        """
        a about after again all also always am an and any anymore are around as at automatically away
        back badly be became because been being below bike but by came can com come comes could cycle did
        do does done due each either engine even ever every few for from full get gets getting give gives
        go goes going good got gotten had has have having he her here him his how i id if im in into is
        it its itself ive just keep keeps left let like little lot machine mad made make makes making man
        many me moment moped more most motor motorbike motorcycle much my new now of ok old once one only
        onto or other our over please properly quite rather really right same scooter she side since sir
        so some somehow sometimes soon such than that the their them then there these they thing things
        this those though through til till time times to too try trying two under until upon us use used
        using vehicle very via want wants was way we well went were what when where which while who whole
        will with within would yet you your
        """,
    )
)
"""Words that tell complaints apart too little to be counted."""

_DENYING = frozenset(
    re.findall(
        r"[a-z]+",
        """
        aint arent barely cannot cant couldnt didnt doesnt dont fail hardly hasnt isnt lose loses losing
        lost neither never no none nor not nothing refuse unable wasnt without wont wouldnt zero
        """,
    )
)

_MEANINGS = """
start: start, startup, restart, fire, fire up, fires up, kick over, kicks over, catch, jump to life, come to
    life, comes to life, come alive, spring on, springs on, spring to life, get going, bump start, light up,
    come on, ignite, wake up
not start: wont go, wont run, will not run, will not go, does not run, doesnt run, not running, but nothing,
    and nothing, nothing happens, doesnt respond, does not respond, no response, no life, not on, still
    nothing, bike is not on, no sign of life, not a pop
again: restart, start again, starts again, fire again, fires again, once more, again
run: run, ran, keep going, keeps going, keeps on, diesel
ride: ride, ridden, rode, drive, driving, drove, while driving, road, journey, trip, along
crank: crank, turn over, turns over, turning over, spin, spins over
die: die, dying, stall, quit, stop, cut out, cuts out, cutting out, cutout, cuts, conk, go out, goes out,
    went out, going out, goes right off, goes off, go off, went off, gets off, get off, getting off, turns
    off, turned off, turn off, shuts off, shut off, shuts down, shut down, switches off, switched off,
    switch off, switch it off, turn it off, shut it off, give up, gives up, pack up, packs up, packed up,
    off, croak, expire, snuffs out, goes not out
dead: dead, lifeless, no reaction
rain: rain, wash, storm, monsoon, downpour, wet weather, hosed
fell over: fell over, crash, tipped over, fell, dropped it, knocked over
cold: cold, morning, frost, freez, icy, chilly, overnight, first start, first thing, stone cold, dew
hot: hot, warm, heat, long ride, long drive, cool, ten minutes, twenty minutes, half an hour, after a ride,
    temperature, scorch, heats up
overheat: overheat, over heat, too hot, runs hot, run hot, running hot, boil, cook, glow, red hot, so hot
halt: lights, traffic light, traffic lights, traffic, red light, signal, junction, crossing, standstill,
    halt, come to a stop, comes to a stop, coming to a stop, stop sign, stop light, let go of the gas, let
    off, let go of the throttle, let off the gas, shut the throttle, close the throttle, closed throttle,
    let go, release the throttle, pull up, slow down, slows down, slowing down, off throttle, off the gas,
    roll up to, hold throttle, hold the throttle, holding the throttle, release accelerator, release the
    accelerator, release the gas, close throttle, keep the throttle, keep blipping, keep revving
pause: short stop, stopped for, parked it, fill up, filling up, filled up, fuel stop, after a stop, petrol
    station, gas station, shop, store, lunch, coffee, rest, five minutes, few minutes, hot start, quick
    stop, refuel
stored: stored, storage, stand, stood, stood over, sat, sit, winter, month, parked up, laid up, shed,
    garage, barn, unused, not used, not been used, hasnt been used, hasnt been ridden, not ridden, lying,
    summer, holiday, lockdown, long time, year, week, season, spring, neglected, ages ago, hibernat
work: work, worked on, rebuild, rebuilt, repair, service, fit, fitted, change, replace, swap, install,
    clean, overhaul, mechanic, workshop, reassembl, put together, put back together, took apart, taken
    apart, dismantl, adjust, tuned, put on, put a new, put in, new piston, new carb, new cylinder, new cdi,
    new top end, kit installed
spark: spark, ignition, plug, sparkplug, spark plug, current, arc
idle: idle, tickover, tick over, ticks over, ticking over, standgas, stand gas, low revs, slow running, low
    rpm, idling speed, idle speed, off idle, at rest, menor
high: high, too fast, race, rev by itself, rev, rpm, scream, runs away, run away, runaway, hang, hunt, surg,
    rises, speeds up by itself, goes up by itself, wont drop, wont come down, not coming down, come down, up
    and down
throttle: throttle, accelerator, accelerat, give it gas, give gas, gives gas, hit the gas, give it some,
    open it up, open it, opened, twist, twistgrip, twist grip, whack, blip, open up, on the gas, step on it,
    suddenly, gun it, floor it, pin it, accelerating suddenly, pickup when accelerating
power: power, pull, torque, oomph, grunt, poke, strength, performance, pickup, pick up, draw, top speed, top
    end speed, max speed, maximum speed, full speed, no go, hatak, top end power, go over, get over, get
    past, past, speed has dropped, speed
not power: no acceleration, poor acceleration, bad acceleration, lost its, lost all its
weak: weak, low, slow, sluggish, gutless, lazy, underpowered, lost power, loses power, losing power, power
    loss, struggl, crawl, snail, low pickup, down on, asthmatic, lack, lost top end, barely moves, loss of
    power, feeble, dropped, lost speed, weaker, slower
hill: hill, uphill, climb, slope, mountain, gradient, incline, steep
bog: bog, hesitat, flat spot, flatspot, stumbl, falls on its face, fall on its face, swallow, choke up,
    chokes, choking, gasp, gulp, lag, falls flat, drown, dips
smoke: smoke, smokey, smoky, fume, haze, usok
rich: rich, four stroke, fourstrok, blubber, burble, four stroking
backfire: backfire, back fire, pop, bang, spit, spits back, spit back, flame, explosion, explode, gunshot,
    crackle, afterfire, shoots, fires back
exhaust: exhaust, silencer, muffler, tailpipe, zorst, tail pipe
carburettor: carburettor, carburetor, carb, carby, bowl, float bowl
locked: locked, lock, stick, block, seize, siezed, stuck, jam, solid, sits fast, sit fast, stiff, rusted,
    wedged, frozen up
turn: turn, rotat, budge, move, push down, turn the engine, piston, kick down
hard: hard, difficult, difficulty, trouble, problem, tough, takes ages, takes for ever, takes forever, kicks
    when, reluctant, badly, takes twenty, takes many, takes ten, takes a lot
kick: kick, kicker, kickstart, kick start, kickstarter, kick starter, kick lever, kick pedal
kickback: kickback, kicks back, kick back, kicked back, back kick, hit back, hits back, kicks my, kicked my,
    bite, snatch, ripped, rips, kicks me, kicked me, ankle, shin, broke my, wrist, runs backwards,
    backwards, throws back, yank, strikes back, my leg
ping: ping, pinking, pink, detonat, pre ignition, preignition, pinging
vibrate: vibrat, vibes, shak, shaking, shudder, judder, wobbl, buzz, tingle, trembl, shimmy, numb, pins and
    needles, rattles me, rattle me, white finger, shake
hands: hand, handle, handlebar, bars, finger, grips, feet, footpeg, seat
loose: loose, loosen, come loose, undone, undo, falls off, fall off, fell off, falling off, falls out, fall
    out, falling out, fell out, back off, backs off, work loose, works loose, shake loose, shaking loose,
    shakes loose, shook loose, shakes itself loose, drop off, dropped off, dropping off, drops off, fall
    apart, falling apart, falls apart, unscrew, rattled off, vibrates off, shakes off, shear, came off,
    comes off, snapped off, apart, themselves loose, itself loose
bolt: bolt, nut, screw, fastener, mount, bracket, parts, stud, bits, mounting
leak: leak, leaky, drip, overflow, pour, flood, puddl, weep, seep, gush, runs out, wet, spill
fuel: fuel, petrol, gas, gasoline, juice, benzine
smell: smell, stink, reek, odour, odor, whiff, pong, stench
noise: noise, noisy, sound, rattle, clatter, grind, whine, squeal, squeak, clunk, knock, hum, crunch, howl,
    racket, rumbl, click, tick, scrap, screech, tapping, slap, loud, clank, rub, whir, chatter
drive: the drive, drive noise, drive makes, chain, belt, sprocket, gearbox, rear wheel, back wheel,
    transmission, the back, the rear, tensioner, final drive, rear hub, gears, variator, roller, freewheel,
    drivetrain, drive train
pedal: pedal, pedalling
rough: rough, misfir, missing, misses, miss, sputter, splutter, stutter, jerk, skip, uneven, hiccup, cough,
    lumpy, bag of spanners, bag of nails, buck, not smooth, in and out, cutting in and out, cuts in and out,
    intermittent, palyado, erratic, irregular, chug, on and off, kangaroo, jerky, like a tractor, sneez,
    stammer
switch: kill switch, killswitch, stop switch, stop button, kill button, switch, key, off switch, button, cut
    off switch
stop running: stop running, keeps running after, running after, stays on, keeps going, get it to stop, shut
    it off, runs on, switch it off, turn it off, goes not out, not getting off, not going off, running when,
    still running, kill the engine, shut down the engine, kill it
charge: charg, battery, flat battery, alternator, stator, dynamo, voltage, regulator, drain, discharg, going
    flat
lamp: lights not, lights dead, lights dont, lights wont, lamp, headlight, headlamp, taillight, tail light,
    rear light, bulb, indicator, blinker, horn, beam, brake light, dim, flicker, lighting, lights went,
    lights flicker, my lights, no lights, and lights, lights dim, lights out, no light, light is, lights
    are, light at night, lights keep, blowing
clutch: clutch, neutral, disengage, declutch
slip: slip, slippage, slippy, revs but, but doesnt move, but bike doesnt move, doesnt pull away, bike doesnt
    move, not moving forward
drag: drag, creep, bind, doesnt release, wont release, wont disengage, stick, creeps forward
starter: starter, kickstart slips, kick slips, kicker slips, self motor, starter motor, electric starter,
    self starter, recoil, self start, pull cord, pull start, pullstart, rope, cord, kicker is free, starter
    spins, kick goes
free: free, freely, no resistance, empty through, but engine, but the engine, but not the engine, without
    turning, goes empty
brake: brake, brak, caliper, drum, disc
choke: choke
seconds: second, minute, straight away, straight off, immediately, instantly, shortly, some meters, some
    metres, right away
"""
"""A meaning, and the words for it; the words of several lines go on. Any one of them may be several words."""

_IRREGULAR = {"goes": "go", "died": "die", "dies": "die", "stopped": "stop", "dying": "die", "ran": "run"}
_ENDINGS = ("ing", "ed", "es", "s")
_LONGEST = 4
_ALIKE = 0.8


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Which meanings there are: the common ones, and the stems that a library uses itself."""

    stems: frozenset[str]

    def heard(self, text: str) -> frozenset[str]:
        """The meanings in a line together with its very words, for telling near things apart."""
        plain = {f"{_VERY}{stem(word)}" for word in words_of(text) if word not in _EMPTY | _DENYING}
        return self.understood(text) | plain

    def understood(self, text: str) -> frozenset[str]:
        """The meanings in a line; a misspelt word means what the word that it nearly is means."""
        found: set[str] = set()
        denied = False
        for meaning in self._sequence(words_of(text)):
            if meaning == DENIED:
                denied = True
                continue
            found.add(meaning)
            if denied:
                found.add(f"{DENIED}{meaning}")
            denied = False
        return frozenset(found)

    def _sequence(self, words: list[str]) -> list[str]:
        found: list[str] = []
        stems = [stem(word) for word in words]
        place = 0
        while place < len(words):
            for length in range(min(_LONGEST, len(words) - place), 1, -1):
                meanings = _PHRASES.get(tuple(stems[place : place + length]))
                if meanings:
                    found += meanings
                    break
            else:
                length = 1
                found += self._single(words[place], stems[place])
            place += length
        return found

    def _single(self, word: str, known: str) -> tuple[str, ...]:
        if word in _DENYING or known in _DENYING_STEMS:
            return (DENIED,)
        if (known,) in _PHRASES:
            return _PHRASES[(known,)]
        if word in _EMPTY or len(word) < 3:
            return ()
        if known in self.stems or len(word) < 4:
            return (known,)
        near = get_close_matches(known, [*_SINGLE, *sorted(self.stems)], n=1, cutoff=_ALIKE)
        return _PHRASES.get((near[0],), (near[0],)) if near else (known,)


def vocabulary_of(phrases: Iterable[str]) -> Vocabulary:
    """The vocabulary of the phrases of a library."""
    words = {word for phrase in phrases for word in words_of(phrase)}
    return Vocabulary(frozenset(stem(word) for word in words - _EMPTY if len(word) > 2))


def words_of(text: str) -> list[str]:
    """The words of a line, lower case, apostrophes dropped."""
    plain = re.sub(r"(\w)['\u2019](\w)", r"\1\2", text.lower())
    return re.findall(r"[^\W\d_]+", plain)


def stem(word: str) -> str:
    """A word without the endings of English, so that "stalling" and "stalled" are one."""
    word = _IRREGULAR.get(word, word)
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3 and not word.endswith("ss"):
            word = word.removesuffix(ending)
            if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "lsz":
                word = word[:-1]
            break
    return word[:-1] if len(word) > 3 and word.endswith("e") else word


def _phrases() -> Mapping[tuple[str, ...], tuple[str, ...]]:
    found: dict[tuple[str, ...], dict[str, None]] = {}
    for line in re.sub(r"\n\s+", " ", _MEANINGS).strip().splitlines():
        meaning, _, phrases = line.partition(":")
        for phrase in phrases.split(","):
            meanings = found.setdefault(tuple(map(stem, words_of(phrase))), {})
            meanings.update(dict.fromkeys((meaning.removeprefix(DENIED), meaning)))
    return {key: tuple(meanings) for key, meanings in found.items()}


_PHRASES = _phrases()
_SINGLE = sorted(key[0] for key in _PHRASES if len(key) == 1)
_DENYING_STEMS = frozenset(map(stem, _DENYING))
