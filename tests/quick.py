"""The core path of a test run, ``pytest -m quick``: a minute on two cores.

What a change most often breaks: the mechanics, train files, one pass of the drawings,
the labs, the notebooks' form, the rules of the house. No browser, no run of a notebook,
no long search for counterexamples.
"""

# {test file: those of its tests that belong to it, or nothing for all of them}
QUICK = {
    "test_house": (), "test_names": (), "test_readme": (), "test_notebooks": (),
    "test_numerals": (), "test_train": (), "test_trainfile": (), "test_catalogue": (),
    "test_shipped_trains": (), "test_kinds": (), "test_new_kind": (),
    "test_motion": (), "test_powerflow": (), "test_backing_up": (),
    "test_five_range": (), "test_published": (), "test_loads": (), "test_describe": (),
    "test_chartcheck": (), "test_shifts": (), "test_explain": (), "test_glossary": (),
    "test_faults": (), "test_wordtable": (), "test_answers": (), "test_prediction": (),
    "test_handin": (), "test_progress": (),
    "test_drawings": (
        "test_matplotlib_paints_them_all", "test_a_good_scene_has_no_fault",
    ),
    "test_labs": ("test_right_answers_get_full_marks",),
}  # fmt: skip
