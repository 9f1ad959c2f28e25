"""A shop owner's session: a machine, settings, a walk and its report, a corrected case, service, a pack."""

from __future__ import annotations

from roles.desk import Desk


def test_a_shop_looks_after_one_machine(desk: Desk) -> None:
    (desk.folder / "blue.yaml").write_text(
        "machine:\n  id: blue-one\n  title: Blue one\n  traits: [two-stroke, magneto-cdi, kill-wire]\n"
        "  figures: {bore: 400 mm, premix-ratio: 25}\n",
        encoding="utf-8",
    )
    assert "10 times the usual" in desk.types("machine check blue.yaml")
    assert "Saved" in desk.types("machine edit blue.yaml bore=40")
    assert "look again" not in desk.types("machine check blue.yaml")
    assert "Bore: 40 mm" in desk.types("machine show blue.yaml")
    desk.types(f"settings machine={desk.folder / 'blue.yaml'} kit=bench paper=letter")

    ranked = desk.reads("rank no-spark-seen --saw kill-switch-in-run=yes")
    assert ranked["machine"] == "blue-one"

    desk.types("walk no-spark-seen --kit bench --plain", "note brought in wet", "quit")
    (walk,) = desk.reads("walks list")
    resumed = desk.types("walk --resume --plain", "answers", "", "stop", "", leaves_with=1)
    assert "Resumed with 1 answers" in resumed
    desk.types(f"report {walk['id']} -o report.pdf")
    assert desk.has("report.pdf")

    desk.types("cases add --machine blue.yaml --complaint no-spark-seen --cause kill-switch-shorted")
    (case,) = desk.reads("cases list")
    assert "Corrected" in desk.types(f"cases correct {case['id']} --cause kill-wire-chafed")
    assert "kill-wire-chafed" in desk.types(f"cases show {case['id']}")
    again = "cases add --machine blue.yaml --complaint no-spark-seen --cause kill-switch-shorted"
    assert "is taken as" in desk.types(f"{again} --saw 'fuel drips from the bowl'")

    desk.types("service --hours 30 --on 2031-03-01")
    assert "Due:" in desk.types("service --done plug-clean-and-gap")
    assert "Clean the plug and set its gap" not in desk.types("service --due")
    desk.types("service --due -o due.pdf")
    assert desk.has("due.pdf")

    assert "Best next thing to buy" in desk.types("pack --grams '1.5 kg' --have pouch --list pack.pdf")
    assert desk.has("pack.pdf")
    assert "psi (" not in desk.types("figure cranking-pressure ratio=7")
    desk.types("settings units=customary")
    assert "psi (" in desk.types("figure cranking-pressure ratio=7")
