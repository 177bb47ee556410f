"""What a writer takes back: "no, that's wrong:", "correction:", what is struck through. It is not judged."""

from __future__ import annotations

import re

from .mapped import Mapped

_BACK = (
    r"(?:(?:no|oops|sorry|wait|argh|ah)\b[^=≈]{0,30}?\b(?:wrong|mistake|not\s+right|incorrect|redo|again)\b|"
    r"(?:scratch|strike|cross)\s+(?:that|this|it|out)\b|correction\b|(?:that|this)(?:'s|’s|\s+is|\s+was)\s+wrong\b|"
    r"(?:i\s+mean|should\s+(?:have\s+been|be))\b(?=\s*:))"
)
_HESITATES = (
    r"(?:(?:no|nope|hmm+|oh)\b\W{1,3}(?:wait|no)\b|wait\W{1,3}(?:no\b|that|I\b)|oops\b|hold\s+on\b|"
    r"korrektur\b|(?:no|wrong)\b\s*[,:;.!–-]\s*(?:(?:i\s+)?(?:forgot|mixed|missed|meant|took|used)\b|"
    r"(?:they|those|these|it)\s+(?:are|is)\b|(?:in\s+)?(?:parallel|series)\b))"
)
TAKEN_BACK = re.compile(rf"\W{{0,6}}{_BACK}", re.IGNORECASE)  # at the front of a line: the line above
HESITATED = re.compile(rf"\W{{0,6}}{_HESITATES}", re.IGNORECASE)  # the same, where something stands for it
_AMID = re.compile(rf"^.*[=≈].*?[^\w=]{_BACK}[^=≈\w]{{0,6}}", re.IGNORECASE)
_HESITATES_AMID = (
    r"(?:(?:no|nope|oh|hmm+)\b\W{1,3}wait\b|wait\W{1,3}no\b|(?:oops|hold\s+on)\b|no\W{1,3}(?:i\s+)?forgot\b)"
)
_WAIT_AMID = re.compile(  # Va = 25.2 V - no, wait, R3 still draws current
    rf"(?:^|(?<=;))[^;]*[=≈][^;]*?[^\w=]{_HESITATES_AMID}[^=≈\w]{{0,6}}(?=[^=≈]*$)", re.IGNORECASE
)
_GIVEN_AGAIN = re.compile(  # R67 = 80/(20*60)... no: R67 = 15
    r"(?:^|(?<=[;,:]))\s*(?P<name>[^\W\d_]\w{0,8})\s*=[^=;]*?(?:\.{2,}|…|[-–—,])\s*(?:no|nope|nein|non|oops|sorry|wait|falsch)"
    r"\b[\s:,!.–-]+(?=(?P=name)\s*=)",
    re.IGNORECASE,
)
_STRUCK = re.compile(
    r"~~.*?~~|<(?:s|del|strike)>.*?</(?:s|del|strike)>|"
    r"\\(?:cancel|sout|xcancel|bcancel)\{[^{}]*=[^{}]*\}"
)


def without_crossed_out(line: Mapped) -> Mapped:
    """The line with what is taken back in it left blank."""
    line = line.blanked([m.span() for m in _STRUCK.finditer(line.text)])
    line = line.blanked([m.span() for m in _GIVEN_AGAIN.finditer(line.text)])
    match = _AMID.match(line.text) or _WAIT_AMID.search(line.text)
    return line if match is None else line.blanked([match.span()])
