"""A job with its photographs in one file, held against Python's own ZIP files."""

import io
import zipfile

from conftest import written_by

JOB = '{"title": "Täfel"}'


def test_python_opens_what_is_packed():
    (own,) = written_by("bundles")
    with zipfile.ZipFile(io.BytesIO(bytes.fromhex(own["zip"]))) as packed:
        assert packed.testzip() is None
        assert packed.read("job.heartside.json").decode() == JOB
        pictures = {name: packed.read(name) for name in packed.namelist()[1:]}
    assert [len(picture) for picture in pictures.values()] == [0, 1, 70_000]
    assert pictures[f"photos/{'c' * 64}.jpg"] == bytes(k * k // 7 % 256 for k in range(70_000))


def test_what_python_packs_is_opened_or_refused_in_words(tmp_path):
    photo = "ab" * 32

    def packed(name, entries, compression=zipfile.ZIP_STORED, comment=b""):
        file = tmp_path / name
        with zipfile.ZipFile(file, "w", compression) as out:
            for entry, content in entries:
                out.writestr(entry, content)
            out.comment = comment
        return file

    job, picture = ("x.heartside.json", JOB), (f"p/{photo}.jpg", b"\xff\xd8")
    files = [
        packed("plain.zip", [job, picture], comment=b"PK\x05\x06 a comment"),
        packed("folders.zip", [("my job/", b""), (f"my job/{job[0]}", JOB), ("my job/._x.heartside.json", b"?"), picture]),
        packed("pressed.zip", [job, ("large.txt", b"a" * 5000)], zipfile.ZIP_DEFLATED),
        packed("other.zip", [("readme.txt", b"hello")]),
        packed("two.zip", [job, ("y.heartside.json", JOB)]),
        packed("tricks.zip", [("../../x.heartside.json", JOB), (f"C:\\{photo}.jpg", b"\xff\xd8"), ("/etc/passwd", b"?")]),
        packed("empty.zip", []),
    ]
    plain, folders, pressed, other, two, tricks, empty = written_by("bundles", *files)
    for found in (plain, folders, tricks):
        assert found["job"] == JOB and found["photos"] == [[photo, "ffd8"]]
    assert folders["others"] == [] and tricks["others"] == ["/etc/passwd"]
    assert "another program" in pressed["problem"]
    assert "no job" in other["problem"] and "several jobs" in two["problem"]
    assert "ZIP file" in empty["problem"]
