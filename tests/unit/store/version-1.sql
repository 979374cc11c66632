-- A workshop file as version 1 of the tables had it: one job with three versions, at the
-- second of them, and one hide. Never to be changed: it stands for the files that people have.
PRAGMA application_id = 1399153012;
PRAGMA user_version = 1;
CREATE TABLE record (
    id INTEGER PRIMARY KEY,
    uid TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),
    kind TEXT NOT NULL CHECK (kind IN ('job', 'hide')),
    present INTEGER NOT NULL,
    begun_ms INTEGER NOT NULL,
    away_ms INTEGER,
    FOREIGN KEY (id, present) REFERENCES version (record, number)
        DEFERRABLE INITIALLY DEFERRED
) STRICT;
CREATE TABLE version (
    record INTEGER NOT NULL REFERENCES record (id),
    number INTEGER NOT NULL CHECK (number >= 1),
    uid TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),
    base INTEGER CHECK (base < number),
    again INTEGER CHECK (again > number),
    saved_ms INTEGER NOT NULL,
    name TEXT,
    title TEXT NOT NULL,
    words TEXT NOT NULL,
    sum INTEGER NOT NULL,
    document BLOB NOT NULL,
    PRIMARY KEY (record, number),
    FOREIGN KEY (record, base) REFERENCES version (record, number),
    FOREIGN KEY (record, again) REFERENCES version (record, number)
) STRICT;
BEGIN;
INSERT INTO record VALUES (1, '000102030405060708090a0b0c0d0e0f', 'job', 2, 1764000000000, NULL);
INSERT INTO record VALUES (2, '101112131415161718191a1b1c1d1e1f', 'hide', 1, 1764000000500, NULL);
INSERT INTO version VALUES (1, 1, '202122232425262728292a2b2c2d2e2f', NULL, 2, 1764000000001, 'as measured', 'Stool of oak', 'stool' || char(10), -1257982333098343561, CAST('{"seatwright": 1, "name": "Stool of oak", "units": "in", "seats": [{"name": "stool", "frame": {"shape": "round", "diameter": 13}, "board": {"thickness": "3/4"}, "padding": {"edge": 1}}]}' AS BLOB));
INSERT INTO version VALUES (1, 2, '303132333435363738393a3b3c3d3e3f', 1, 3, 1764000000002, NULL, 'Stool of elm', 'stool' || char(10), 1096970406083016261, CAST('{"seatwright": 1, "name": "Stool of elm", "units": "in", "seats": [{"name": "stool", "frame": {"shape": "round", "diameter": 13}, "board": {"thickness": "3/4"}, "padding": {"edge": 1}}]}' AS BLOB));
INSERT INTO version VALUES (1, 3, '404142434445464748494a4b4c4d4e4f', 2, NULL, 1764000000003, NULL, 'Stool of ash', 'stool' || char(10), 6058117963104906183, CAST('{"seatwright": 1, "name": "Stool of ash", "units": "in", "seats": [{"name": "stool", "frame": {"shape": "round", "diameter": 13}, "board": {"thickness": "3/4"}, "padding": {"edge": 1}}]}' AS BLOB));
INSERT INTO version VALUES (2, 1, '505152535455565758595a5b5c5d5e5f', NULL, NULL, 1764000000500, NULL, 'red panel', 'panel' || char(10), 5046745956729854403, CAST('{"seatwright": 1, "units": "mm", "hide": {"name": "red panel", "form": "panel", "length": 800, "width": 600}}' AS BLOB));
COMMIT;
