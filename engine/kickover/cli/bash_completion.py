"""Completion in bash, which parts words at `=` before it asks: here they are whole."""

from __future__ import annotations

import os
from typing import Any

from click.shell_completion import BashComplete, CompletionItem, split_arg_string

SCRIPT = """\
%(complete_func)s() {
    local offered one
    mapfile -t offered < <(
        COMP_LINE="${COMP_LINE:0:COMP_POINT}" COMP_WORD="${COMP_WORDS[COMP_CWORD]}" \\
            %(complete_var)s=bash_complete "$1"
    )
    COMPREPLY=()
    for one in "${offered[@]}"; do
        case "$one" in
            file,*) compopt -o default ;;
            dir,*) compopt -o dirnames ;;
            *) COMPREPLY+=("${one#*,}") ;;
        esac
    done
    [[ "${COMPREPLY[0]}" == *= ]] && compopt -o nospace
    return 0
}
complete -o nosort -F %(complete_func)s %(prog_name)s
"""


class WholeWords(BashComplete):
    """Completes whole words, `--machine=clip` and `kill-switch-in-run=y` among them."""

    source_template = SCRIPT

    def get_completion_args(self) -> tuple[list[str], str]:
        """The words before the one that is completed, and that one, whole."""
        line = os.environ["COMP_LINE"]
        words = split_arg_string(line)[1:]
        if not line or line[-1].isspace():
            words.append("")
        return words[:-1], words[-1]

    def format_completion(self, item: CompletionItem[Any]) -> str:
        """An offer as bash wants it: without what it holds to be earlier words."""
        _, whole = self.get_completion_args()
        option = whole.partition("=")[0] + "=" if whole.startswith("-") and "=" in whole else ""
        current = os.environ["COMP_WORD"]
        done = len(whole) if current == "=" else len(whole) - len(current) if whole.endswith(current) else 0
        return f"{item.type},{(option + item.value)[done:]}"
