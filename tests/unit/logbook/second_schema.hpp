#pragma once

namespace panewalk::logbook::test {

/// The schema with the fault finder, as it lies in the files of 0.1.0.
inline constexpr const char* kSecondSchema = R"(
CREATE TABLE entry (
  number    INTEGER PRIMARY KEY,
  at        INTEGER NOT NULL CHECK (at BETWEEN 0 AND 253402300799),
  site      TEXT NOT NULL,
  kind      TEXT NOT NULL
            CHECK (kind IN ('bench begun', 'bench answer', 'walk begun', 'walk answer',
                            'find begun', 'find answer', 'finding', 'repair')),
  begun     INTEGER,
  prop      TEXT,
  step      TEXT,
  answer    TEXT,
  other     TEXT,
  walked_by TEXT,
  note      TEXT,
  place     TEXT,
  came_from TEXT,
  described TEXT,
  question  INTEGER CHECK (question >= 1),
  asked     TEXT,
  fault     TEXT,
  second    TEXT,
  station   TEXT,
  pixel     INTEGER CHECK (pixel >= 0),
  certainty INTEGER CHECK (certainty BETWEEN 0 AND 1000),
  also_possible TEXT,
  questions INTEGER CHECK (questions >= 0),
  repair    TEXT,
  CHECK ((begun IS NOT NULL) =
         (kind IN ('bench answer', 'walk answer', 'find answer', 'finding', 'repair'))),
  CHECK ((prop IS NOT NULL) = (kind <> 'walk begun')),
  CHECK ((step IS NOT NULL) = (kind = 'bench answer')),
  CHECK (CASE kind
           WHEN 'bench answer' THEN answer IS NOT NULL
                                    AND answer IN ('yes', 'no', 'unsure', 'skipped')
           WHEN 'walk answer' THEN answer IS NOT NULL
                                   AND answer IN ('as drawn', 'another prop', 'nothing', 'wrong')
           WHEN 'find answer' THEN answer IS NOT NULL
           ELSE answer IS NULL END),
  CHECK ((other IS NOT NULL) = (kind = 'walk answer')),
  CHECK (CASE kind
           WHEN 'walk begun' THEN walked_by IS NOT NULL AND walked_by IN ('order', 'nearest')
           ELSE walked_by IS NULL END),
  CHECK ((note IS NOT NULL) = (kind IN ('bench answer', 'walk answer', 'repair'))),
  CHECK (CASE kind
           WHEN 'find begun' THEN place IS NOT NULL AND place IN ('bench', 'yard')
           ELSE place IS NULL END),
  CHECK ((came_from IS NOT NULL) = (kind = 'find begun')),
  CHECK (described IS NULL OR kind = 'find begun'),
  CHECK ((question IS NOT NULL) = (kind = 'find answer')),
  CHECK ((asked IS NOT NULL) = (kind = 'find answer')),
  CHECK ((fault IS NOT NULL) = (kind IN ('finding', 'repair'))),
  CHECK ((second IS NOT NULL) = (kind = 'finding')),
  CHECK ((station IS NOT NULL) = (kind = 'finding')),
  CHECK ((pixel IS NOT NULL) = (kind = 'finding')),
  CHECK ((certainty IS NOT NULL) = (kind = 'finding')),
  CHECK ((also_possible IS NOT NULL) = (kind = 'finding')),
  CHECK ((questions IS NOT NULL) = (kind = 'finding')),
  CHECK (CASE kind
           WHEN 'repair' THEN repair IS NOT NULL
                              AND repair IN ('mended', 'not mended', 'was another fault')
           ELSE repair IS NULL END)
) STRICT;
CREATE TABLE walk_order (
  walk  INTEGER NOT NULL,
  place INTEGER NOT NULL CHECK (place >= 1),
  prop  TEXT NOT NULL,
  PRIMARY KEY (walk, place)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER walk_order_is_kept BEFORE DELETE ON walk_order
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER walk_order_stays BEFORE UPDATE ON walk_order
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
)";

}  // namespace panewalk::logbook::test
