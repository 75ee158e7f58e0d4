-- The first form of the shop's memory. SI, with the unit in the name; days as 2026-11-26, civil time.

-- Whole sheets in the rack, by the name that the shop's file gives them.
CREATE TABLE sheet (
    name        TEXT PRIMARY KEY CHECK (name <> ''),
    on_hand     INTEGER NOT NULL CHECK (on_hand >= 0),
    lot         TEXT CHECK (lot <> ''),
    thickness_m REAL CHECK (thickness_m > 0),           -- measured
    place       TEXT CHECK (place <> ''),
    photo       TEXT CHECK (photo <> ''),
    since       TEXT NOT NULL                            -- last counted or taken
) STRICT, WITHOUT ROWID;

-- A job is quoted, accepted, done.
CREATE TABLE job (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    name         TEXT NOT NULL CHECK (name <> ''),
    vehicle      TEXT NOT NULL CHECK (vehicle <> ''),
    start        TEXT NOT NULL,
    state        TEXT NOT NULL CHECK (state IN ('quoted', 'accepted', 'done')),
    quoted_on    TEXT NOT NULL,
    accepted_on  TEXT,
    done_on      TEXT,
    kinds        TEXT NOT NULL,                          -- kinds of its parts: 'ring, strap'
    currency     TEXT NOT NULL,
    net_price    REAL NOT NULL,
    cost         REAL NOT NULL,                          -- planned
    hours        REAL NOT NULL,                          -- attended, planned
    hour_cost    REAL NOT NULL,                          -- of an attended hour, with overhead
    formed       INTEGER NOT NULL,                       -- parts that are formed hot
    glue_m3      REAL NOT NULL,                          -- planned
    heats        INTEGER CHECK (heats >= 0),
    spoiled      INTEGER CHECK (spoiled BETWEEN 0 AND heats),
    glue_used_m3 REAL CHECK (glue_used_m3 >= 0),
    more_cost    REAL,                                   -- beside hours: sheet bought once more
    remarks      TEXT CHECK (remarks <> ''),
    plan         TEXT NOT NULL,                          -- parts, tasks and the job's file, as accepted
    UNIQUE (name, vehicle, start)
) STRICT;
CREATE INDEX job_done ON job (done_on) WHERE state = 'done';

-- Sheets that an accepted job took from the rack.
CREATE TABLE taken (
    job   INTEGER NOT NULL REFERENCES job ON DELETE CASCADE,
    sheet TEXT NOT NULL REFERENCES sheet,
    count INTEGER NOT NULL CHECK (count > 0),
    PRIMARY KEY (job, sheet)
) STRICT, WITHOUT ROWID;

-- Pieces left from earlier work. A name is never given twice.
CREATE TABLE offcut (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    name        TEXT NOT NULL UNIQUE CHECK (name <> ''),
    material    TEXT NOT NULL,
    thickness_m REAL NOT NULL CHECK (thickness_m > 0),   -- measured, where the sheet was
    lot         TEXT CHECK (lot <> ''),
    sheet       TEXT CHECK (sheet <> ''),                -- cut from it
    outline     TEXT NOT NULL,                           -- JSON, metres
    bad_areas   TEXT NOT NULL,                           -- JSON, metres
    area_m2     REAL NOT NULL CHECK (area_m2 > 0),
    worth       REAL CHECK (worth >= 0),
    place       TEXT CHECK (place <> ''),
    photo       TEXT CHECK (photo <> ''),
    since       TEXT NOT NULL,
    state       TEXT NOT NULL CHECK (state IN ('rack', 'used', 'gone')),
    made_by     INTEGER REFERENCES job,
    used_by     INTEGER REFERENCES job,
    CHECK ((state = 'used') = (used_by IS NOT NULL))
) STRICT;
CREATE INDEX offcut_in_rack ON offcut (since) WHERE state = 'rack';
CREATE INDEX offcut_made_by ON offcut (made_by);
CREATE INDEX offcut_used_by ON offcut (used_by);

-- Work of a done job that was timed: a task of the plan, its work over all parts, or a whole kind of work.
CREATE TABLE timed (
    job       INTEGER NOT NULL REFERENCES job ON DELETE CASCADE,
    work      TEXT NOT NULL,                             -- as the shop named it
    kind      TEXT NOT NULL,                             -- kind of work
    planned_s REAL NOT NULL CHECK (planned_s > 0),       -- as quoted
    usual_s   REAL NOT NULL CHECK (usual_s > 0),         -- before anything was learned
    actual_s  REAL NOT NULL CHECK (actual_s > 0),
    PRIMARY KEY (job, work)
) STRICT, WITHOUT ROWID;

-- What was made for a place of a vehicle, and worked.
CREATE TABLE pattern (
    id      INTEGER PRIMARY KEY AUTOINCREMENT,
    vehicle TEXT NOT NULL,
    part    TEXT NOT NULL,
    place   TEXT NOT NULL,
    hand    TEXT NOT NULL CHECK (hand IN ('left', 'right', 'either')),
    kind    TEXT NOT NULL,
    job     INTEGER NOT NULL REFERENCES job,
    made_on TEXT NOT NULL,
    keys    TEXT NOT NULL,                               -- TOML: the part as the job's file has it, with the edits
    outline TEXT NOT NULL,                               -- JSON, metres: its blank
    recipe  TEXT,                                        -- JSON: how it was heated
    edits   TEXT CHECK (edits <> ''),                    -- after the trial fit, in words
    hangs   TEXT CHECK (hangs <> ''),                    -- where the template is
    spares  INTEGER NOT NULL DEFAULT 0 CHECK (spares >= 0),
    UNIQUE (vehicle, part, place, hand)
) STRICT;

-- Timed trials of a gun.
CREATE TABLE coupon (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    gun          TEXT NOT NULL CHECK (gun <> ''),
    tried_on     TEXT NOT NULL,
    material     TEXT NOT NULL,
    thickness_m  REAL NOT NULL,
    width_m      REAL,
    length_m     REAL,
    distance_m   REAL NOT NULL,
    turn_every_s REAL,
    limp_after_s REAL NOT NULL,
    air_k        REAL
) STRICT;

-- Jobs that came back.
CREATE TABLE comeback (
    id      INTEGER PRIMARY KEY AUTOINCREMENT,
    job     INTEGER NOT NULL REFERENCES job,
    came_on TEXT NOT NULL,
    season  TEXT NOT NULL CHECK (season IN ('spring', 'summer', 'autumn', 'winter')),
    what    TEXT NOT NULL CHECK (what <> ''),            -- what failed
    place   TEXT NOT NULL CHECK (place <> ''),           -- where
    remarks TEXT CHECK (remarks <> '')
) STRICT;
