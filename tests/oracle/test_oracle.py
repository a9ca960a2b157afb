"""The checker and an independent judge agree, rule by rule, on good and broken plans."""

from collections import Counter

from clearance import clearances
from rules import judge
from shapes import SLACK

def test_checker_and_oracle_agree(cases):
    assert len(cases) >= 500
    agree(cases)


def test_they_agree_about_cuts_that_were_made(done):
    agree(done)
    broken = Counter(case["way"] for case in done if 12 in case["broken"])
    tried = Counter(case["way"] for case in done)
    print(f"\ntried {dict(tried)}; broken rule 12: {dict(broken)}")
    assert all(not case["broken"] for case in done if case["way"] == "good"), "a job as it was sawn is broken"
    assert tried["good"] >= 30
    few = {way: broken[way] for way in ("Corner", "DoneKerf", "CutAgain", "MadeAgain", "Listed") if broken[way] < 20}
    assert not few, f"broken fewer than 20 times: {few}"


def agree(cases):
    disagreements = []
    left_out = Counter()
    broken = Counter()
    good = 0
    for case in cases:
        verdict = judge(case["document"])
        left_out.update(verdict.unclear)
        ours = verdict.broken - verdict.unclear
        theirs = set(case["broken"]) - verdict.unclear
        broken.update(theirs)
        good += not theirs
        if ours != theirs:
            disagreements.append(
                f"case {case['case']} ({case['way']}): oracle {sorted(ours)}, checker {sorted(theirs)}; "
                f"margins {({r: round(m, 4) for r, m in verdict.margins.items() if r in ours ^ theirs})}; "
                f"{case['messages'][:3]}"
            )
    print(f"\n{len(cases)} plans, {good} good; broken by rule {dict(sorted(broken.items()))}; "
          f"left out as too near a limit {dict(sorted(left_out.items()))}")
    assert not disagreements, f"{len(disagreements)} disagreements:\n" + "\n".join(disagreements[:12])


def test_every_rule_is_broken_often_enough(cases):
    broken = Counter(rule for case in cases for rule in case["broken"])
    missing = {rule: broken[rule] for rule in (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11) if broken[rule] < 30}
    assert not missing, f"rules broken fewer than 30 times: {missing}"


#: Ways of breaking a plan that were added with a rule of their own, and the rule they break.
OF_ONE_RULE = {
    "Rot": 3,
    "Metal": 4,
    "Held": 9,
    "FenceSet": 9,
    "TrueEdges": 9,
    "Twisted": 9,
    "Planed": 9,
    "TooThick": 9,
    "HoleSide": 1,
    "AngleOff": 9,
    "TurnedCutMoved": 9,
    "TurnedAtFence": 9,
    "TurnedOnMitre": 9,
    "TurnedBlankOff": 9,
}


def test_each_sharper_rule_is_tried_often_enough(cases):
    tried = Counter(case["way"] for case in cases)
    broken = Counter(case["way"] for case in cases if OF_ONE_RULE.get(case["way"]) in case["broken"])
    few = {way: (tried[way], broken[way]) for way in OF_ONE_RULE if tried[way] < 30 or broken[way] < 8}
    print(f"\ntried and broken: {({way: (tried[way], broken[way]) for way in OF_ONE_RULE})}")
    assert not few, f"tried fewer than 30 times, or broken fewer than 8: {few}"


def test_plans_made_whole_are_good(cases):
    for case in cases:
        if case["way"] == "good":
            assert case["broken"] == [], (case["case"], case["messages"])


def test_plans_of_the_engines_are_good(planned):
    wrong = []
    placed = 0
    for case in planned:
        verdict = judge(case["document"])
        placed += case["placed"]
        if case["broken"] or verdict.broken - verdict.unclear:
            wrong.append(
                f"job {case['case']} ({case['way']}): oracle {sorted(verdict.broken - verdict.unclear)}, "
                f"checker {case['broken']}; {case['messages'][:3]}"
            )
    print(f"\n{len(planned)} jobs, {placed} pieces placed")
    # A search that places nothing would be found good by anybody.
    assert placed > 3 * len(planned)
    assert not wrong, f"{len(wrong)} plans are wrong:\n" + "\n".join(wrong[:12])


def test_sawn_plans_keep_every_distance(sawn):
    wrong = []
    placed = 0
    measured: dict[str, list[float]] = {}
    for case in sawn:
        placed += case["placed"]
        verdict = judge(case["document"])
        found = list(clearances(case["document"]))
        for what, spare in found:
            measured.setdefault(what, []).append(spare)
        near = [(what, spare) for what, spare in found if spare < -SLACK]
        if case["broken"] or verdict.broken - verdict.unclear or near:
            wrong.append(
                f"job {case['case']}: oracle {sorted(verdict.broken - verdict.unclear)}, "
                f"checker {case['broken']}, too near {near[:3]}; {case['messages'][:3]}"
            )
    touching = sum(spare < 0.01 for spare in measured.get("blanks", []))
    print(f"\n{len(sawn)} sawn jobs, {placed} pieces placed, {touching} pairs of blanks within 0.01 mm of a kerf")
    for what, spares in sorted(measured.items()):
        print(f"  {what}: {len(spares)} distances, least beyond what is needed {min(spares):.6f} mm")
    # A search that places nothing, or nothing near anything, would be found good by anybody.
    assert placed > 3 * len(sawn)
    assert touching > len(sawn) // 2
    assert not wrong, f"{len(wrong)} plans are wrong:\n" + "\n".join(wrong[:12])
