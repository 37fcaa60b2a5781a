"""`loamwright paper`: listed, written, told as words, kept as given out."""

import json


def test_papers_are_listed(run):
    listed = run("paper").output
    assert "crew-card (recipe): " in listed and "owner: " in listed
    assert {"paper": "owner", "label": "One page for the owner", "about": []} in json.loads(run("paper", "--json").output)


def test_a_paper_is_written_and_nothing_overwritten(run, wall, tmp_path):
    out = tmp_path / "lab.pdf"
    assert run("paper", "lab-request", "--size", "letter", "--out", str(out)).exit_code == 0
    assert out.read_bytes().startswith(b"%PDF")
    again = run("paper", "lab-request", "--out", str(out))
    assert again.exit_code == 1 and str(out) in again.output
    nowhere = run("paper", "lab-request", "--out", str(tmp_path / "gone" / "lab.pdf"))
    assert nowhere.exit_code == 1


def test_the_words_of_a_paper(run, wall):
    words = run("paper", "lab-request", "--text").output
    assert words.startswith("# Request to a laboratory") and "Bank sand | " in words


def test_a_paper_about_nothing_yet_asks_which(run, wall):
    refused = run("paper", "weigh-out", "--text")
    assert refused.exit_code == 1 and "say which" in refused.output


def test_a_thing_is_named_or_the_newest_is_taken(run, done, wall):
    jar = ("shake", "jar", "--fill", "80 mm", "--water", "240 mm", "--added", "nothing")
    for soil in ("Bank sand", "Red clay"):
        done(*jar, "--source", soil)
    assert run("paper", "jar", "--text").output.startswith("# Jar of Red clay")
    assert run("paper", "jar", "Jar of Bank sand", "--text").output.startswith("# Jar of Bank sand")


def test_given_out_is_kept_with_its_root(run, done, wall):
    told = done("paper", "owner", "--given-out", "--by", "Ines")
    assert len(told["root"]) == 64 and told["text"].startswith("# For the owner")
    assert told["root"].startswith(told["text"].splitlines()[-1].split(": ")[1][:8])
    assert done("paper", "owner")["root"] != told["root"], "the entry that was kept is part of the next root"


def test_wrong_words_are_told(run, wall):
    assert "There is no paper called wall-chart" in run("paper", "wall-chart", "--text").output
    assert run("paper", "owner").exit_code == 2
    assert run("paper", "owner", "--size", "a9", "--text").exit_code == 2
    assert run("paper", "block", "nobody", "--text").exit_code == 2
    assert run("paper", "owner", "someone", "--text").exit_code == 2
