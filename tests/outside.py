#!/usr/bin/env python3
"""Checks of what banister makes against tools that are not ours.

Python's own tomllib, json and hashlib stand in for our reader, seal and digests; qpdf and poppler
read the PDF. Called by tests/run with the path of the built program.
"""

import datetime
import hashlib
import json
import os
import pathlib
import pty
import re
import subprocess
import sys
import tempfile
import tomllib
import unicodedata

ROOT = pathlib.Path(__file__).resolve().parent.parent
PROGRAM = pathlib.Path(sys.argv[1]).resolve()
passed, failed = 0, 0


def check(what, fine, detail=""):
    """Counts one check and names it when it fails."""
    global passed, failed
    if fine:
        passed += 1
    else:
        failed += 1
        print(f"FAILED {what} {detail}", file=sys.stderr)


def run(*words):
    """Runs a command and gives back (exit code, stdout bytes, stderr text)."""
    done = subprocess.run([str(word) for word in words], capture_output=True, check=False)
    return done.returncode, done.stdout, done.stderr.decode("utf-8", "replace")


def sha256(data):
    return hashlib.sha256(data).hexdigest()


def canonical(value):
    """Canonical JSON: keys sorted, no spaces, dates as strings."""
    def plain(item):
        if isinstance(item, dict):
            return {key: plain(value) for key, value in item.items()}
        if isinstance(item, list):
            return [plain(value) for value in item]
        if isinstance(item, (datetime.date, datetime.time)):
            return item.isoformat()
        return item
    text = json.dumps(plain(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode("utf-8")


def digest_of(folders):
    """SHA-256 over the sorted list `path NUL sha256(bytes) LF`."""
    lines = []
    for folder in folders:
        for path in (ROOT / folder).rglob("*"):
            if path.is_file():
                name = path.relative_to(ROOT).as_posix()
                lines.append(name.encode() + b"\0" + sha256(path.read_bytes()).encode() + b"\n")
    return "sha256:" + sha256(b"".join(sorted(lines)))


def words_of(text):
    """The words of a text, folded so that line ends and signs do not matter."""
    folded = unicodedata.normalize("NFKC", text).replace("\u00ad", "")
    return re.findall(r"[A-Za-z0-9'’]+", folded)


def every_toml_parses():
    for folder in ("protocols", "templates", "shared", "examples"):
        for path in sorted((ROOT / folder).rglob("*.toml")):
            try:
                tomllib.loads(path.read_text(encoding="utf-8"))
                check(path.name, True)
            except tomllib.TOMLDecodeError as error:
                check(path.relative_to(ROOT), False, str(error))


def seals_and_sheets_hold():
    records = sorted((ROOT / "examples").rglob("record.toml"))
    check("there are at least six example records", len(records) >= 6)
    built_in = digest_of(["protocols", "templates"])
    clinic = tomllib.loads((ROOT / "shared/clinic.toml").read_text(encoding="utf-8"))
    check("the clinic adopts the library as it stands", clinic["adopted"]["library"] == built_in,
          built_in)
    for path in records:
        text = path.read_text(encoding="utf-8")
        record = tomllib.loads(text)
        cuts = [match.start() for match in re.finditer(r"(?m)^\[visit\.seal\]", text)]
        seals = [visit["seal"]["sha256"] for visit in record["visit"] if "seal" in visit]
        check(f"{path.parent.name}: every closed visit has its seal", len(cuts) == len(seals) > 0)
        for cut, seal in zip(cuts, seals):
            made = sha256(canonical(tomllib.loads(text[:cut])))
            check(f"{path.parent.name}: seal", made == seal, f"{made} {seal}")
        for visit in record["visit"]:
            issued = visit.get("issued")
            if issued is None:
                continue
            check(f"{path.parent.name}: library digest", issued["library"] == built_in)
            for file in issued["file"]:
                kept = path.with_suffix("").with_suffix(".sheets") / file["name"]
                check(f"{kept.name}: kept bytes", sha256(kept.read_bytes()) == file["sha256"])


def sheets_are_sound():
    for path in sorted((ROOT / "examples").rglob("*.pdf")):
        code, _, complaint = run("qpdf", "--check", path)
        check(f"{path.name}: qpdf", code == 0, complaint)
        code, fonts, _ = run("pdffonts", path)
        rows = fonts.decode().splitlines()[2:]
        check(f"{path.name}: has fonts", code == 0 and len(rows) >= 1)
        for row in rows:
            # The columns before the object number: embedded, subset, unicode.
            flags = re.search(r"(yes|no)\s+(yes|no)\s+(yes|no)\s+\d+\s+\d+\s*$", row)
            check(f"{path.name}: font embedded, with its unicode map",
                  flags is not None and flags[1] == "yes" and flags[3] == "yes", row)
        _, text, _ = run("pdftotext", path, "-")
        printed = words_of(text.decode("utf-8"))
        # Paper has a page for questions only where the diary would not face out; the text always
        # says it. Capitals differ where a line of the text stands inside a sentence on paper,
        # and a tick is drawn, not written.
        plain = path.with_suffix(".txt").read_text(encoding="utf-8")
        plain = plain.replace("Questions for my next visit", "").replace("[x]", "")
        printed = {word.lower() for word in printed}
        missing = sorted({word.lower() for word in words_of(plain)} - printed)
        check(f"{path.name}: says every word of the plain text", not missing, str(missing[:20]))


def a_preview_is_the_same_twice():
    record = sorted((ROOT / "examples").rglob("record.toml"))[0]
    with tempfile.TemporaryDirectory() as folder:
        pages = []
        for name in ("one.pdf", "two.pdf"):
            out = pathlib.Path(folder) / name
            code, _, complaint = run(PROGRAM, "handout", record, "--preview", "-o", out)
            check("preview runs", code == 0, complaint)
            pages.append(out.read_bytes())
        check("two processes make the same bytes", pages[0] == pages[1])
        _, info, _ = run("pdfinfo", pathlib.Path(folder) / "one.pdf")
        check("an A4 page", "595.28 x 841.89" in info.decode() or "(A4)" in info.decode(),
              info.decode())


def on_a_terminal(environment, *words):
    """Runs the program with a terminal for its output and gives back what the terminal got."""
    ours, theirs = pty.openpty()
    clean = {key: value for key, value in os.environ.items()
             if key not in ("LC_ALL", "LC_CTYPE", "LANG", "NO_COLOR", "BANISTER_CLINIC")}
    child = subprocess.Popen([str(PROGRAM), *words], cwd=ROOT, stdin=subprocess.DEVNULL,
                             stdout=theirs, stderr=theirs, env={**clean, **environment})
    os.close(theirs)
    got = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # the other end is closed
            part = b""
        if not part:
            break
        got += part
    os.close(ours)
    child.wait()
    return got


def terminals_get_letters_they_can_show():
    record = "examples/02-behind-day-14/record.toml"
    explain = ("explain", record)
    modern = on_a_terminal({"LC_ALL": "C.UTF-8", "TERM": "xterm"}, *explain)
    check("a UTF-8 terminal gets UTF-8", "74\u00b0".encode() in modern)
    for environment in ({"LC_ALL": "C", "TERM": "xterm"}, {"TERM": "xterm"},
                        {"LANG": "C.UTF-8", "LC_CTYPE": "de_DE.ISO-8859-1", "TERM": "xterm"},
                        {"LC_ALL": "C.UTF-8", "TERM": "dumb"}):
        old = on_a_terminal(environment, *explain)
        check(f"{environment}: ASCII alone", old.isascii(), old[:200])
        check(f"{environment}: says the same", b"74 deg" in old and b" -> " in old)
        check(f"{environment}: folded", all(len(line) <= 80 for line in old.splitlines()))
        sheet = on_a_terminal(environment, "handout", record, "--as", "text")
        check(f"{environment}: a sheet in ASCII", sheet.isascii() and len(sheet) > 2000)
        talk = on_a_terminal(environment, "handout", "Zo\u00eb.toml")
        check(f"{environment}: talk in ASCII", talk.startswith(b"Zoe.toml: "), talk)
    _, piped, _ = run(PROGRAM, "explain", ROOT / record)
    check("a pipe gets what a UTF-8 terminal gets", modern.replace(b"\r\n", b"\n") == piped)


def no_colour_is_written():
    for words in (("--help",), ("intake", "--help"), ("dance",), ("check", "tests/errors")):
        got = on_a_terminal({"NO_COLOR": "1", "LC_ALL": "C.UTF-8", "TERM": "xterm"}, *words)
        check(f"{words}: no escape code", len(got) > 50 and b"\x1b" not in got, got[:200])
    for words in (("explain", "examples/02-behind-day-14/record.toml"), ("check", "tests/errors")):
        got = on_a_terminal({"LC_ALL": "C.UTF-8", "TERM": "xterm-256color"}, *words)
        check(f"{words}: never an escape code", len(got) > 50 and b"\x1b" not in got, got[:200])


every_toml_parses()
seals_and_sheets_hold()
sheets_are_sound()
a_preview_is_the_same_twice()
terminals_get_letters_they_can_show()
no_colour_is_written()
print(f"{passed} passed, {failed} failed")
sys.exit(1 if failed else 0)
