#!/usr/bin/env python3
"""Drives `intake` and `visit` in a real terminal (tmux), as somebody at a desk would.

Counts what is typed and says how long it takes at two keystrokes a second and two seconds a
prompt. Run by tests/run: python3 tests/desk.py target/release/banister
"""

import datetime
import hashlib
import os
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parent.parent
BANISTER = pathlib.Path(sys.argv[1]).resolve()
SOCKET = f"banister-desk-{os.getpid()}"
TODAY = datetime.date.today()
STROKES_A_SECOND = 2
SECONDS_A_PROMPT = 2
failures = []
checks = 0


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        failures.append(what)
        print(f"FAILED: {what}")


def tmux(*words):
    run = subprocess.run(
        ["tmux", "-L", SOCKET, "-f", "/dev/null", *words], capture_output=True, text=True
    )
    return run.stdout


class Talk:
    """One command in a terminal of 80 columns."""

    def __init__(self, folder, command, env=None, typed=True):
        self.strokes = len(command) + 1 if typed else 0
        self.prompts = 0
        self.folder = folder
        settings = {
            "BANISTER_CLINIC": str(folder / "shared"),
            "LC_ALL": "C.UTF-8",
            "NO_COLOR": "1",
            **(env or {}),
        }
        exports = " ".join(f"export {k}={shlex.quote(v)};" for k, v in settings.items())
        line = command.replace("banister", shlex.quote(str(BANISTER)), 1)
        script = f"cd {shlex.quote(str(folder))}; {exports} {line}; echo \"[exit $?]\"; exec sleep 600"
        tmux("kill-session", "-t", "desk")
        tmux("new-session", "-d", "-s", "desk", "-x", "80", "-y", "50", script)
        tmux("set-option", "-t", "desk", "history-limit", "5000")

    def screen(self):
        text = tmux("capture-pane", "-t", "desk", "-p", "-J", "-S", "-2000")
        return "\n".join(line.rstrip() for line in text.split("\n")).rstrip("\n")

    def wait(self, pattern, seconds=20):
        """Waits until the last line of the screen fits."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            screen = self.screen()
            last = screen.rsplit("\n", 1)[-1]
            if re.search(pattern, last):
                return screen
            time.sleep(0.02)
        raise SystemExit(f"no line fits {pattern!r} at the end of:\n{self.screen()[-3000:]}")

    def answer(self, prompt, keys):
        """Waits for a prompt, then types."""
        self.wait(prompt)
        self.prompts += 1
        self.strokes += len(keys) + 1
        if keys:
            tmux("send-keys", "-t", "desk", "-l", "--", keys)
        tmux("send-keys", "-t", "desk", "Enter")

    def all(self, answers):
        for prompt, keys in answers:
            self.answer(prompt, keys)

    def key(self, name):
        tmux("send-keys", "-t", "desk", name)

    def end(self):
        """Waits for the end and returns the exit code."""
        screen = self.wait(r"^\[exit \d+\]$")
        return int(re.search(r"\[exit (\d+)\]$", screen).group(1))

    def seconds(self):
        return self.strokes / STROKES_A_SECOND + self.prompts * SECONDS_A_PROMPT


def desk_folder():
    folder = pathlib.Path(tempfile.mkdtemp(prefix="banister-desk-"))
    shutil.copytree(ROOT / "shared", folder / "shared")
    return folder


def files(folder):
    """Every file of a folder with its digest; drafts and locks aside."""
    found = {}
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not path.name.endswith((".draft", ".lock")):
            found[str(path.relative_to(folder))] = hashlib.sha256(path.read_bytes()).hexdigest()
    return found


DISCHARGE = [
    (r"^Operation", ""),
    (r"Record number", ""),
    (r"Who are you", "PT-1"),
    (r"Operated side", "l"),
    (r"once more, in full", "left"),
    (r"Day of the operation", "-2"),
    (r"Standing orders of", "1"),
    (r"ordered otherwise", ""),
    (r"none in full", "none"),
    (r"Cleared for home", "DR-2"),
    (r"such as 2 5", "none"),
    (r"Pain at rest", "3"),
    (r"Pain when bending", "5"),
    (r"^Bend", "62"),
    (r"Short of straight", "10"),
    (r"Lifts leg", "3"),
    (r"Block gone", "y"),
    (r"Walks with", "2"),
    (r"Stairs at home", "y"),
    (r"Stairs practised", "y"),
    (r"^Missing", ""),
    (r"Next visit", ""),
    (r"Print needs", ""),
]
FOLLOW_UP = [
    (r"Who are you", "PT-1"),
    (r"none in full", "none"),
    (r"Did how much", "2"),
    (r"Which not at all", ""),
    (r"Worst pain", "4"),
    (r"Next morning", "2"),
    (r"Swelling", "1"),
    (r"^Bend", "84"),
    (r"Short of straight", "6"),
    (r"Lifts leg", "2"),
    (r"Walks with", ""),
    (r"Limps", "n"),
    (r"Not done well", "none"),
    (r"Next visit", ""),
]
RECORD = "AR-0001-E1.toml"


def discharged():
    """A folder with one discharged record, made in the terminal."""
    folder = desk_folder()
    talk = Talk(folder, "banister intake")
    talk.all(DISCHARGE)
    talk.answer(r"^>", "p")
    code = talk.end()
    return folder, talk, code


def later(days):
    return (TODAY + datetime.timedelta(days=days)).isoformat()


def no_wide_lines(talk, what):
    wide = [line for line in talk.screen().split("\n") if len(line) > 80]
    check(not wide, f"{what}: lines wider than 80 columns: {wide[:3]}")
    check("\x1b" not in talk.screen(), f"{what}: escape codes")


def the_two_counts():
    folder, talk, code = discharged()
    check(code == 0, f"discharge ends with 0, not {code}")
    check((folder / RECORD).is_file(), "the record is named after its number")
    sheets = sorted(path.name for path in folder.glob("*.sheets/*"))
    kept = [f"AR-0001-E1-sheet-01.{end}" for end in ("json", "pdf", "txt")]
    check(sheets == kept, f"sheets: {sheets}")
    check("left knee" in (folder / "AR-0001-E1.sheets/AR-0001-E1-sheet-01.txt").read_text(), "left")
    no_wide_lines(talk, "discharge")
    check(talk.seconds() <= 240, f"discharge takes {talk.seconds():.0f} s")
    print(
        f"discharge: {talk.prompts} prompts, {talk.strokes} keystrokes with the command, "
        f"{talk.seconds():.0f} s of 240 s"
    )
    command = f"banister visit {RECORD}"
    talk = Talk(folder, f"{command} --date {later(12)}", typed=False)
    talk.strokes = len(command) + 1
    talk.all(FOLLOW_UP)
    talk.answer(r"^>", "p")
    code = talk.end()
    check(code == 0, f"follow-up ends with 0, not {code}")
    check((folder / "AR-0001-E1.sheets/AR-0001-E1-sheet-02.pdf").is_file(), "second sheet")
    no_wide_lines(talk, "follow-up")
    check(talk.seconds() <= 120, f"follow-up takes {talk.seconds():.0f} s")
    print(
        f"follow-up: {talk.prompts} prompts, {talk.strokes} keystrokes with the command, "
        f"{talk.seconds():.0f} s of 120 s"
    )
    check(not list(folder.glob(".*.draft")), "no draft is left behind")
    run = subprocess.run([BANISTER, "check", RECORD], cwd=folder, capture_output=True, text=True)
    check(run.returncode == 0, f"the record is sound: {run.stdout}")
    return folder


def control_c_anywhere():
    """Control-C at each prompt leaves the folder as it was."""
    empty = desk_folder()
    before = files(empty)
    steps = DISCHARGE + [(r"^>", None)]
    for stop in range(len(steps)):
        for draft in empty.glob(".*.draft"):
            draft.unlink()
        talk = Talk(empty, "banister intake")
        talk.all(steps[:stop])
        talk.wait(steps[stop][0])
        talk.key("C-c")
        code = talk.end()
        check(code == 2, f"control-C at {steps[stop][0]} ends with 2, not {code}")
        check(files(empty) == before, f"control-C at {steps[stop][0]} wrote something")
    folder, _, _ = discharged()
    before = files(folder)
    steps = FOLLOW_UP + [(r"^>", None)]
    for stop in range(len(steps)):
        for draft in folder.glob(".*.draft"):
            draft.unlink()
        talk = Talk(folder, f"banister visit {RECORD} --date {later(12)}")
        talk.all(steps[:stop])
        talk.wait(steps[stop][0])
        talk.key("C-c")
        talk.end()
        check(files(folder) == before, f"control-C at {steps[stop][0]} changed the record")
    print(f"control-C at each of {len(DISCHARGE) + len(FOLLOW_UP) + 2} prompts: nothing written")


def leave_and_resume():
    folder, _, _ = discharged()
    talk = Talk(folder, f"banister visit {RECORD} --date {later(12)}")
    talk.all(FOLLOW_UP[:7])
    talk.answer(r"^Bend", "quit")
    check(talk.end() == 2, "quit ends with 2")
    check("kept in" in talk.screen(), "it says where the answers are kept")
    mode = (folder / f".{RECORD}.visit.draft").stat().st_mode & 0o777
    check(mode == 0o600, f"a draft is private, not {mode:o}")
    talk = Talk(folder, f"banister visit {RECORD}")
    talk.answer(r"Go on with which", "")
    talk.answer(r"Go on with which", "1")
    talk.answer(r"none in full", "none")
    talk.answer(r"^Bend", "<")
    talk.answer(r"Swelling", "")
    talk.all(FOLLOW_UP[7:])
    talk.answer(r"^>", "p")
    check(talk.end() == 0, "a resumed visit is issued")
    text = (folder / RECORD).read_text()
    check(f"date = {later(12)}" in text, "the visit keeps the day it was held on")
    check('did = "most"' in text and "flexion = 84" in text, "both halves are in the record")
    check(not (folder / f".{RECORD}.visit.draft").exists(), "the draft is gone")


def refused_and_kept():
    folder, _, _ = discharged()
    talk = Talk(folder, f"banister visit {RECORD} --date {later(12)}")
    talk.all(FOLLOW_UP[:7])
    talk.answer(r"^Bend", "840")
    screen = talk.wait(r"^Bend.*: 840$")
    check("from 0 to 160 degrees" in screen, "a refusal says what is allowed")
    talk.key("BSpace")
    talk.answer(r"^Bend.*: 84$", "")
    talk.answer(r"^Short of straight", "6x")
    talk.wait(r"^Short of straight.*: 6x$")
    talk.answer(r"^Short of straight", "12")
    screen = talk.wait(r"^Lifts leg")
    check("6x1" not in screen, "typing takes the place of what was refused")
    shown = re.search(r"^Short of straight.*: (\S*)\s*\n.*Lifts leg", screen, re.M | re.S)
    check(re.search(r"^Short of straight.*: 12\s*$", screen, re.M) is not None,
          f"letters typed over it stand in their order: {shown and shown.group(0)[-80:]}")
    talk.key("C-c")
    talk.end()


def review_keys():
    folder, _, _ = discharged()
    talk = Talk(folder, f"banister visit {RECORD} --date {later(12)}")
    talk.answer(r"Who are you", "PT-1")
    talk.answer(r"none in full", "8")
    talk.all(FOLLOW_UP[2:])
    talk.answer(r"^>", "+ bike")
    talk.answer(r"^Why, bike", "asks for it")
    screen = talk.wait(r"^>")
    check("cannot be given" in screen, "a hard limit is not set aside by a key")
    talk.answer(r"^>", "x 2")
    talk.answer(r"^Why, ", "")
    talk.answer(r"^Why, ", "Sore hip")
    talk.answer(r"^>", "1")
    talk.answer(r"^>", "w 1")
    talk.answer(r"^>", "nonsense")
    screen = talk.wait(r"^>$")
    check("no exercise is called" in screen, "an unknown word is refused")
    talk.answer(r"^>", "p")
    check(talk.end() == 0, "a changed sheet is issued")
    text = (folder / RECORD).read_text()
    check('because = "Sore hip"' in text and "bike" not in text.split("[[visit]]")[2], "the change")
    talk = Talk(folder, f"banister visit {RECORD} --date {later(19)}")
    talk.all(FOLLOW_UP[:2])
    screen = talk.wait(r"Meant so\?")
    check("wound was yes" in screen, "a sign that is gone though nobody assessed it is asked about")
    talk.answer(r"Meant so\?", "y")
    talk.all(FOLLOW_UP[2:13])
    talk.answer(r"Keep these changes", "")
    talk.answer(r"Next visit", "")
    talk.answer(r"^>", "s")
    check(talk.end() == 0, "a visit can be saved open")
    text = (folder / RECORD).read_text()
    check(text.count('because = "Sore hip"') == 2, "the change is renewed with one key")
    check(text.count("[visit.issued]") == 2, "and the visit is open")
    talk = Talk(folder, f"banister visit {RECORD}")
    talk.answer(r"^>", "p")
    check(talk.end() == 0, "an open visit is shown again and printed")


def withheld():
    folder, _, _ = discharged()
    talk = Talk(folder, f"banister visit {RECORD} --date {later(3)}")
    talk.answer(r"Who are you", "PT-1")
    talk.answer(r"none in full", "4")
    screen = talk.wait(r"^>")
    check("NO EXERCISES" in screen, "a sore calf comes first")
    check("Did how much" not in screen, "and the other questions wait")
    talk.answer(r"^>", "m")
    talk.answer(r"Did how much", "<")
    talk.answer(r"none in full.*: 4$", "")
    talk.answer(r"^>", "p")
    code = talk.end()
    check(code == 3, f"a withheld page ends with 3, not {code}")
    no_wide_lines(talk, "withheld")
    text = (folder / "AR-0001-E1.sheets/AR-0001-E1-sheet-02.txt").read_text()
    check("01632 960 210" in text, "the page says whom to ring")


def corrected():
    folder, _, _ = discharged()
    talk = Talk(folder, f"banister visit {RECORD} --corrects 1")
    talk.answer(r"Who are you", "PT-1")
    talk.answer(r"none in full", "none")
    talk.answer(r"Cleared for home", "")
    talk.answer(r"Pain at rest", "")
    talk.answer(r"Pain when bending", "")
    talk.answer(r"^Bend", "26")
    talk.answer(r"Short of straight.*\[10\]", "")
    talk.answer(r"Lifts leg", "")
    talk.answer(r"Block gone", "")
    talk.answer(r"Walks with", "")
    talk.answer(r"Limps", "")
    talk.answer(r"Next visit", "")
    talk.answer(r"^>", "p")
    check(talk.end() == 0, "a correction is issued")
    text = (folder / RECORD).read_text()
    check("flexion = 62" in text and "flexion = 26" in text, "old and new value stand there")
    check("corrects = 1" in text, "and which visit it corrects")


def order_by_somebody_else(folder):
    order = ["order", RECORD, "flexion-cap", "90", "--by", "SURG-A", "--document", "letter"]
    run = subprocess.run(
        [BANISTER, *order, "--on", TODAY.isoformat()],
        cwd=folder,
        capture_output=True,
        text=True,
        env={**os.environ, "BANISTER_CLINIC": str(folder / "shared")},
    )
    check(run.returncode == 0, f"the other one writes: {run.stderr}")


def somebody_else_writes():
    """Two people at one record: whoever comes second is told, and neither loses anything."""
    for stop in (5, len(FOLLOW_UP)):
        folder, _, _ = discharged()
        talk = Talk(folder, f"banister visit {RECORD} --date {later(12)}")
        talk.all(FOLLOW_UP[:stop])
        talk.wait(FOLLOW_UP[stop][0] if stop < len(FOLLOW_UP) else r"^>")
        order_by_somebody_else(folder)
        talk.all(FOLLOW_UP[stop:])
        if stop == len(FOLLOW_UP):
            talk.answer(r"^>", "p")
        check(talk.end() == 2, "the first one is told")
        check("changed it since" in talk.screen(), "why nothing was written")
        talk = Talk(folder, f"banister visit {RECORD}")
        talk.answer(r"Go on with which", "1")
        talk.answer(r"none in full", "none")
        talk.all([FOLLOW_UP[2], FOLLOW_UP[3], FOLLOW_UP[5], FOLLOW_UP[6], FOLLOW_UP[12]])
        screen = talk.wait(r"^>")
        check("The record has changed since" in screen, "a changed record is said")
        talk.answer(r"^>", "p")
        check(talk.end() == 0, "nothing typed is lost")
        text = (folder / RECORD).read_text()
        check("flexion-cap" in text and "flexion = 84" in text, "neither is the other's order")


def wrong_side_while_asking():
    """The side put right by somebody else in the middle of a visit: no sheet for the wrong leg."""
    folder, _, _ = discharged()
    talk = Talk(folder, f"banister visit {RECORD} --date {later(12)}")
    talk.all(FOLLOW_UP[:8])
    talk.wait(FOLLOW_UP[8][0])
    words = ["correct", RECORD, "side", "right", "--because", "Typed wrongly", "--by", "PT-2"]
    subprocess.run(
        [BANISTER, *words],
        cwd=folder,
        check=True,
        capture_output=True,
        env={**os.environ, "BANISTER_CLINIC": str(folder / "shared")},
    )
    talk.all(FOLLOW_UP[8:])
    check(talk.end() == 2, "answers about the other leg are not written")
    check((folder / RECORD).read_text().count("[[visit]]") == 1, "nothing was added")


def nobody_elses_answers():
    """A draft is offered with whose it is; a written visit leaves none, whatever happens after."""
    folder = desk_folder()
    talk = Talk(folder, "banister intake")
    talk.all(DISCHARGE[:9])
    talk.answer(r"Cleared", "quit")
    talk.end()
    talk = Talk(folder, "banister intake")
    screen = talk.wait(r"Go on with which")
    check("AR-0001-E1, left side, typed by PT-1" in screen, "a draft says whose it is")
    talk.answer(r"Go on with which", "n")
    talk.wait(r"^Operation")
    talk.key("C-c")
    talk.end()
    check(len(list(folder.glob(".*.draft"))) == 1, "and it stays when another one begins")
    folder, _, _ = discharged()
    talk = Talk(folder, f"banister visit {RECORD} -o nodir/x.pdf")
    check(talk.end() == 2, "a place that is not there is said before the first question")


def a_call_and_a_reprint():
    """A calm call leaves the sheet at home; an old sheet is given back only after a yes."""
    folder, _, _ = discharged()
    before = files(folder)
    talk = Talk(folder, f"banister visit {RECORD} --phone --date {later(1)}")
    talk.all([
        (r"Who are you", "PT-1"),
        (r"none in full", "none"),
        (r"Did how much", "2"),
        (r"Which not at all", ""),
        (r"Worst pain", "4"),
        (r"Next morning", "2"),
        (r"Swelling", "2"),
        (r"Walks with", ""),
        (r"Next visit.*stays", ""),
    ])
    screen = talk.wait(r"^>")
    check("k keep sheet 1 at home" in screen, "a call may leave the sheet at home")
    talk.answer(r"^>", "k")
    check(talk.end() == 0, "a call ends with 0")
    check("[visit.kept]\nsheet = 1\n[visit.seal]" in (folder / RECORD).read_text(), "and is sealed")
    new = {name for name in files(folder) if name not in before}
    check(not new, f"nothing goes out: {new}")
    talk = Talk(folder, f"banister visit {RECORD} --date {later(12)}")
    talk.all(FOLLOW_UP)
    talk.answer(r"^>", "p")
    talk.end()
    for typed, code in (("", 2), ("no", 2), ("y", 0)):
        talk = Talk(folder, f"banister handout {RECORD} --sheet 1 --as text -o again-{code}.txt --force")
        talk.answer(r"^Give sheet 1 back all the same", typed)
        check(talk.end() == code, f"`{typed}` ends with {code}")
        check("sheet 1 is not the latest: sheet 2" in talk.screen(), "and what changed is said")
        check((folder / "again-0.txt").exists() == (code == 0), "no yes, no sheet")


def plain_terminal():
    """An old terminal: no escape codes, no UTF-8."""
    folder = desk_folder()
    talk = Talk(folder, "banister intake", env={"TERM": "dumb", "LC_ALL": "C"})
    talk.all(DISCHARGE)
    talk.answer(r"^>", "w 1")
    talk.answer(r"^>", "p")
    check(talk.end() == 0, "a discharge works on a dumb terminal")
    check(talk.screen().isascii(), "and everything shown there is ASCII")
    no_wide_lines(talk, "dumb terminal")


def readme_shows_this():
    """The capture in the README is what the program shows."""
    folder = desk_folder()
    talk = Talk(folder, "banister intake --date 2026-03-04")
    talk.all(DISCHARGE)
    talk.answer(r"^>", "p")
    talk.end()
    shown = talk.screen()
    text = (ROOT / "README.md").read_text()
    block = text.split("<!-- desk -->")[1].split("```")[1].split("\n", 2)[2]
    for part in block.split("\n...\n"):
        part = part.strip("\n")
        check(part in shown, f"README shows what the program does not:\n{part}\n---\n{shown}")


def main():
    # A second session keeps the terminal's server alive from one conversation to the next.
    tmux("new-session", "-d", "-s", "keep", "sleep 3600")
    try:
        the_two_counts()
        leave_and_resume()
        refused_and_kept()
        review_keys()
        withheld()
        corrected()
        somebody_else_writes()
        wrong_side_while_asking()
        nobody_elses_answers()
        a_call_and_a_reprint()
        plain_terminal()
        readme_shows_this()
        control_c_anywhere()
    finally:
        tmux("kill-server")
    print(f"{checks} checks at the desk, {len(failures)} failed")
    return 1 if failures else 0


sys.exit(main())
