#pragma once

namespace panewalk::logbook::test {

/// The schema of the first logbooks, as it lies in their files.
inline constexpr const char* kFirstSchema = R"(
CREATE TABLE entry (
  number    INTEGER PRIMARY KEY,
  at        INTEGER NOT NULL CHECK (at BETWEEN 0 AND 253402300799),
  site      TEXT NOT NULL,
  kind      TEXT NOT NULL
            CHECK (kind IN ('bench begun', 'bench answer', 'walk begun', 'walk answer')),
  begun     INTEGER,
  prop      TEXT,
  step      TEXT,
  answer    TEXT,
  other     TEXT,
  walked_by TEXT,
  note      TEXT,
  CHECK ((begun IS NOT NULL) = (kind IN ('bench answer', 'walk answer'))),
  CHECK ((prop IS NOT NULL) = (kind <> 'walk begun')),
  CHECK ((step IS NOT NULL) = (kind = 'bench answer')),
  CHECK (CASE kind
           WHEN 'bench answer' THEN answer IS NOT NULL
                                    AND answer IN ('yes', 'no', 'unsure', 'skipped')
           WHEN 'walk answer' THEN answer IS NOT NULL
                                   AND answer IN ('as drawn', 'another prop', 'nothing', 'wrong')
           ELSE answer IS NULL END),
  CHECK ((other IS NOT NULL) = (kind = 'walk answer')),
  CHECK (CASE kind
           WHEN 'walk begun' THEN walked_by IS NOT NULL AND walked_by IN ('order', 'nearest')
           ELSE walked_by IS NULL END),
  CHECK ((note IS NOT NULL) = (kind IN ('bench answer', 'walk answer')))
) STRICT;
CREATE TABLE walk_order (
  walk  INTEGER NOT NULL,
  place INTEGER NOT NULL CHECK (place >= 1),
  prop  TEXT NOT NULL,
  PRIMARY KEY (walk, place)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER walk_order_stays BEFORE UPDATE ON walk_order
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER walk_order_is_kept BEFORE DELETE ON walk_order
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
)";

/// An entry of every kind that the first logbooks had, by hand.
inline constexpr const char* kFirstEntries = R"(
INSERT INTO entry (at, site, kind, prop)
  VALUES (1795626501, 'boathouse', 'bench begun', 'slip-window');
INSERT INTO entry (at, site, kind, begun, prop, step, answer, note)
  VALUES (1795626502, 'boathouse', 'bench answer', 1, 'slip-window', 'ruler', 'no', 'far end');
INSERT INTO entry (at, site, kind, prop)
  VALUES (1795626503, 'jetty', 'bench begun', 'lamp-post');
INSERT INTO entry (at, site, kind, walked_by)
  VALUES (1795626504, 'boathouse', 'walk begun', 'nearest');
INSERT INTO walk_order VALUES (4, 1, 'gable-line'), (4, 2, 'slip-window');
INSERT INTO entry (number, at, site, kind, begun, prop, answer, other, note)
  VALUES (9, 1795626505, 'boathouse', 'walk answer', 4, 'gable-line', 'another prop',
          'slip-window', '');
)";

}  // namespace panewalk::logbook::test
