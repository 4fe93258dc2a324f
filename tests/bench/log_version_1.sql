BEGIN TRANSACTION;
CREATE TABLE batch (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES batch(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "number" TEXT NOT NULL COLLATE NOCASE CHECK (length(trim("number")) > 0),
  "recipe" TEXT NOT NULL CHECK (length(trim("recipe")) > 0),
  "version" TEXT NOT NULL CHECK (length(trim("version")) > 0),
  "title" TEXT,
  "container" TEXT,
  "containers" INTEGER NOT NULL CHECK (typeof("containers") IN ('integer', 'null') AND "containers" >= 1),
  "made_on" TEXT NOT NULL CHECK (length(trim("made_on")) > 0),
  "note" TEXT,
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "batch" VALUES(1,'e37aaab607dd5305','e37aaab607dd5305',NULL,0,'','2026-11-26T21:19:18.329Z','ee064063324ab96a8f04b317','R2-07','r2-gel-cream','0a1b2c3d4e','Gel cream','jar',4,'2026-11-02',NULL);
CREATE TABLE complaint (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES complaint(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "batch" TEXT REFERENCES batch(id),
  "unit" TEXT REFERENCES unit(id),
  "told_on" TEXT NOT NULL CHECK (length(trim("told_on")) > 0),
  "words" TEXT NOT NULL CHECK (length(trim("words")) > 0),
  "serious" INTEGER CHECK ("serious" IN (0, 1)),
  "reported_on" TEXT,
  "reported_to" TEXT,
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "complaint" VALUES(1,'020ebc35655fe571','020ebc35655fe571',NULL,0,'','2026-11-26T21:19:18.438Z','a2a591450ed7caaadcf5d9bb','e37aaab607dd5305','6462d9bd11752035','2026-11-09','=itches',0,NULL,NULL);
CREATE TABLE deed (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES deed(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "batch" TEXT NOT NULL CHECK (length(trim("batch")) > 0) REFERENCES batch(id),
  "step" INTEGER NOT NULL CHECK (typeof("step") IN ('integer', 'null') AND "step" >= 1),
  "state" TEXT NOT NULL CHECK (length(trim("state")) > 0 AND "state" IN ('done', 'skipped')),
  "reason" TEXT,
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "deed" VALUES(1,'bc45aff692717f28','bc45aff692717f28',NULL,0,'','2026-11-26T21:19:18.344Z','ff2734f4494c06c54393e18a','e37aaab607dd5305',1,'done',NULL);
CREATE TABLE deviation (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES deviation(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "batch" TEXT NOT NULL CHECK (length(trim("batch")) > 0) REFERENCES batch(id),
  "step" INTEGER CHECK (typeof("step") IN ('integer', 'null') AND "step" >= 1),
  "what" TEXT NOT NULL CHECK (length(trim("what")) > 0),
  "rescue" TEXT,
  "reason" TEXT NOT NULL CHECK (length(trim("reason")) > 0),
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "deviation" VALUES(1,'250246ee27eb8e41','250246ee27eb8e41',NULL,0,'','2026-11-26T21:19:18.413Z','fc8024ed50c29b820ce17b7c','e37aaab607dd5305',1,'stirred by hand',NULL,'the mixer was out');
CREATE TABLE fill (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES fill(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "batch" TEXT NOT NULL CHECK (length(trim("batch")) > 0) REFERENCES batch(id),
  "container" INTEGER NOT NULL CHECK (typeof("container") IN ('integer', 'null') AND "container" >= 1),
  "mass_mg" INTEGER NOT NULL CHECK (typeof("mass_mg") IN ('integer', 'null') AND "mass_mg" >= 0),
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "fill" VALUES(1,'d51d29bf05c6128b','d51d29bf05c6128b',NULL,0,'','2026-11-26T21:19:18.430Z','53d9b888102952babd7ff32b','e37aaab607dd5305',1,196001);
INSERT INTO "fill" VALUES(2,'ace769d8ca12900a','ace769d8ca12900a',NULL,0,'','2026-11-26T21:19:18.430Z','a39b6dd5b5d68615ba999bec','e37aaab607dd5305',2,196002);
INSERT INTO "fill" VALUES(3,'7219f3262f32f917','7219f3262f32f917',NULL,0,'','2026-11-26T21:19:18.430Z','793c5b01336537fb7731006b','e37aaab607dd5305',3,196003);
CREATE TABLE gone (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES gone(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "unit" TEXT NOT NULL CHECK (length(trim("unit")) > 0) REFERENCES unit(id),
  "place" TEXT NOT NULL CHECK (length(trim("place")) > 0),
  "use" TEXT NOT NULL CHECK (length(trim("use")) > 0 AND "use" IN ('own use', 'gift', 'sale', 'thrown away', 'back')),
  "gone_on" TEXT NOT NULL CHECK (length(trim("gone_on")) > 0),
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "gone" VALUES(1,'5420d0ebe9599468','5420d0ebe9599468',NULL,0,'','2026-11-26T21:19:18.435Z','0fe9d7f3922d8b235b4673da','6462d9bd11752035','room 4','own use','2026-11-05');
CREATE TABLE lot (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES lot(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "code" TEXT NOT NULL COLLATE NOCASE CHECK (length(trim("code")) > 0),
  "item" TEXT NOT NULL CHECK (length(trim("item")) > 0),
  "supplier" TEXT,
  "size" TEXT,
  "listed_mg" INTEGER CHECK (typeof("listed_mg") IN ('integer', 'null') AND "listed_mg" >= 0),
  "label_mg" INTEGER CHECK (typeof("label_mg") IN ('integer', 'null') AND "label_mg" >= 0),
  "scale_mg" INTEGER CHECK (typeof("scale_mg") IN ('integer', 'null') AND "scale_mg" >= 0),
  "received_on" TEXT,
  "best_before" TEXT,
  "opened_on" TEXT,
  "certificate" INTEGER CHECK ("certificate" IN (0, 1)),
  "note" TEXT,
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "lot" VALUES(1,'0ad65be71a6b0e30','0ad65be71a6b0e30',NULL,0,'','2026-11-26T21:19:18.319Z','edc77c392dfc0f9732d5ac67','N-0417','Propanediol','N raws',NULL,NULL,NULL,83400,NULL,'2027-09-30',NULL,1,NULL);
CREATE TABLE reading (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES reading(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "batch" TEXT NOT NULL CHECK (length(trim("batch")) > 0) REFERENCES batch(id),
  "kind" TEXT NOT NULL CHECK (length(trim("kind")) > 0),
  "value" REAL CHECK (typeof("value") IN ('real', 'integer', 'null')),
  "unit" TEXT,
  "words" TEXT,
  "tool" TEXT,
  "step" INTEGER CHECK (typeof("step") IN ('integer', 'null') AND "step" >= 1),
  "at_c" REAL CHECK (typeof("at_c") IN ('real', 'integer', 'null') AND "at_c" >= -273.15),
  "place" TEXT,
  "day" REAL CHECK (typeof("day") IN ('real', 'integer', 'null') AND "day" >= 0),
  "read_at" TEXT NOT NULL CHECK (length(trim("read_at")) > 0),
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "reading" VALUES(1,'513399745387fbd1','513399745387fbd1',NULL,0,'','2026-11-26T21:19:18.361Z','c3feb89d486d0bcf5e9f1858','e37aaab607dd5305','temperature',22.0,'°C',NULL,NULL,1,NULL,NULL,NULL,'2026-11-02 09:10');
INSERT INTO "reading" VALUES(2,'92477b2c3ac2d2b1','92477b2c3ac2d2b1',NULL,0,'','2026-11-26T21:19:18.372Z','cfca59a25ee815285ba32fe3','e37aaab607dd5305','pH',5.6,NULL,NULL,'pH meter',NULL,21.0,NULL,NULL,'2026-11-02 11:20');
INSERT INTO "reading" VALUES(3,'675818e4cd420317','675818e4cd420317',NULL,0,'','2026-11-26T21:19:18.389Z','9dee8343d7db6609380ee314','e37aaab607dd5305','pH',9.6,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'2026-11-02 11:10');
INSERT INTO "reading" VALUES(4,'0f4b968e789972d6','675818e4cd420317','675818e4cd420317',1,'not calibrated','2026-11-26T21:19:18.400Z','f8452a5d7f228bc5c91bf66c','e37aaab607dd5305','pH',9.6,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'2026-11-02 11:10');
CREATE TABLE unit (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES unit(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "batch" TEXT NOT NULL CHECK (length(trim("batch")) > 0) REFERENCES batch(id),
  "code" TEXT NOT NULL COLLATE NOCASE CHECK (length(trim("code")) > 0),
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "unit" VALUES(1,'6462d9bd11752035','6462d9bd11752035',NULL,0,'','2026-11-26T21:19:18.433Z','b32ed2a8cbf901c4e7862478','e37aaab607dd5305','R2-07/01');
CREATE TABLE weighing (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES weighing(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  "batch" TEXT NOT NULL CHECK (length(trim("batch")) > 0) REFERENCES batch(id),
  "item" TEXT NOT NULL CHECK (length(trim("item")) > 0),
  "phase" TEXT,
  "lot" TEXT REFERENCES lot(id),
  "planned_mg" INTEGER CHECK (typeof("planned_mg") IN ('integer', 'null') AND "planned_mg" >= 0),
  "mass_mg" INTEGER NOT NULL CHECK (typeof("mass_mg") IN ('integer', 'null') AND "mass_mg" >= 0),
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
);
INSERT INTO "weighing" VALUES(1,'9efe21c3726212d8','9efe21c3726212d8',NULL,0,'','2026-11-26T21:19:18.335Z','eefc5f0dd4c03e521f08539b','e37aaab607dd5305','Propanediol','A','0ad65be71a6b0e30',40700,40770);
INSERT INTO "weighing" VALUES(2,'5c97ecae5661af28','9efe21c3726212d8','9efe21c3726212d8',0,'the tare was forgotten','2026-11-26T21:19:18.337Z','aa91fe4a4b26328ed7b2df2c','e37aaab607dd5305','Propanediol','A','0ad65be71a6b0e30',40700,40700);
INSERT INTO "weighing" VALUES(3,'b36536b1f287d791','b36536b1f287d791',NULL,0,'','2026-11-26T21:19:18.340Z','77461e654ebdaf6a1744dc18','e37aaab607dd5305','Water','A',NULL,NULL,700000);
CREATE INDEX lot_root ON lot(root);
CREATE UNIQUE INDEX lot_corrects ON lot(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_lot AS SELECT (SELECT o.seq FROM lot o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."code", t."item", t."supplier", t."size", t."listed_mg", t."label_mg", t."scale_mg", t."received_on", t."best_before", t."opened_on", t."certificate", t."note" FROM lot t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM lot later WHERE later.corrects = t.id);
CREATE TRIGGER lot_no_replacing BEFORE INSERT ON lot
 WHEN EXISTS (SELECT 1 FROM lot WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER lot_one_correction BEFORE INSERT ON lot WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM lot WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER lot_no_update BEFORE UPDATE ON lot
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER lot_no_delete BEFORE DELETE ON lot
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER lot_one_name BEFORE INSERT ON lot WHEN NEW.withdrawn = 0
 AND EXISTS (SELECT 1 FROM now_lot WHERE "code" = NEW."code" AND id <> NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: two have one name'); END;
CREATE INDEX lot_by_0 ON lot(code);
CREATE INDEX lot_by_1 ON lot(item);
CREATE INDEX batch_root ON batch(root);
CREATE UNIQUE INDEX batch_corrects ON batch(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_batch AS SELECT (SELECT o.seq FROM batch o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."number", t."recipe", t."version", t."title", t."container", t."containers", t."made_on", t."note" FROM batch t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM batch later WHERE later.corrects = t.id);
CREATE TRIGGER batch_no_replacing BEFORE INSERT ON batch
 WHEN EXISTS (SELECT 1 FROM batch WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER batch_one_correction BEFORE INSERT ON batch WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM batch WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER batch_no_update BEFORE UPDATE ON batch
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER batch_no_delete BEFORE DELETE ON batch
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER batch_one_name BEFORE INSERT ON batch WHEN NEW.withdrawn = 0
 AND EXISTS (SELECT 1 FROM now_batch WHERE "number" = NEW."number" AND id <> NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: two have one name'); END;
CREATE INDEX batch_by_0 ON batch(number);
CREATE INDEX batch_by_1 ON batch(recipe);
CREATE INDEX weighing_root ON weighing(root);
CREATE UNIQUE INDEX weighing_corrects ON weighing(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_weighing AS SELECT (SELECT o.seq FROM weighing o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."batch", t."item", t."phase", t."lot", t."planned_mg", t."mass_mg" FROM weighing t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM weighing later WHERE later.corrects = t.id);
CREATE TRIGGER weighing_no_replacing BEFORE INSERT ON weighing
 WHEN EXISTS (SELECT 1 FROM weighing WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER weighing_one_correction BEFORE INSERT ON weighing WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM weighing WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER weighing_no_update BEFORE UPDATE ON weighing
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER weighing_no_delete BEFORE DELETE ON weighing
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE INDEX weighing_by_0 ON weighing(lot, batch);
CREATE INDEX weighing_by_1 ON weighing(batch, lot);
CREATE INDEX deed_root ON deed(root);
CREATE UNIQUE INDEX deed_corrects ON deed(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_deed AS SELECT (SELECT o.seq FROM deed o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."batch", t."step", t."state", t."reason" FROM deed t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM deed later WHERE later.corrects = t.id);
CREATE TRIGGER deed_no_replacing BEFORE INSERT ON deed
 WHEN EXISTS (SELECT 1 FROM deed WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER deed_one_correction BEFORE INSERT ON deed WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM deed WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER deed_no_update BEFORE UPDATE ON deed
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER deed_no_delete BEFORE DELETE ON deed
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE INDEX deed_by_0 ON deed(batch, step);
CREATE INDEX reading_root ON reading(root);
CREATE UNIQUE INDEX reading_corrects ON reading(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_reading AS SELECT (SELECT o.seq FROM reading o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."batch", t."kind", t."value", t."unit", t."words", t."tool", t."step", t."at_c", t."place", t."day", t."read_at" FROM reading t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM reading later WHERE later.corrects = t.id);
CREATE TRIGGER reading_no_replacing BEFORE INSERT ON reading
 WHEN EXISTS (SELECT 1 FROM reading WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER reading_one_correction BEFORE INSERT ON reading WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM reading WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER reading_no_update BEFORE UPDATE ON reading
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER reading_no_delete BEFORE DELETE ON reading
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE INDEX reading_by_0 ON reading(batch, kind, read_at);
CREATE INDEX deviation_root ON deviation(root);
CREATE UNIQUE INDEX deviation_corrects ON deviation(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_deviation AS SELECT (SELECT o.seq FROM deviation o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."batch", t."step", t."what", t."rescue", t."reason" FROM deviation t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM deviation later WHERE later.corrects = t.id);
CREATE TRIGGER deviation_no_replacing BEFORE INSERT ON deviation
 WHEN EXISTS (SELECT 1 FROM deviation WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER deviation_one_correction BEFORE INSERT ON deviation WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM deviation WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER deviation_no_update BEFORE UPDATE ON deviation
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER deviation_no_delete BEFORE DELETE ON deviation
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE INDEX deviation_by_0 ON deviation(batch);
CREATE INDEX fill_root ON fill(root);
CREATE UNIQUE INDEX fill_corrects ON fill(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_fill AS SELECT (SELECT o.seq FROM fill o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."batch", t."container", t."mass_mg" FROM fill t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM fill later WHERE later.corrects = t.id);
CREATE TRIGGER fill_no_replacing BEFORE INSERT ON fill
 WHEN EXISTS (SELECT 1 FROM fill WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER fill_one_correction BEFORE INSERT ON fill WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM fill WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER fill_no_update BEFORE UPDATE ON fill
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER fill_no_delete BEFORE DELETE ON fill
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE INDEX fill_by_0 ON fill(batch);
CREATE INDEX unit_root ON unit(root);
CREATE UNIQUE INDEX unit_corrects ON unit(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_unit AS SELECT (SELECT o.seq FROM unit o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."batch", t."code" FROM unit t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM unit later WHERE later.corrects = t.id);
CREATE TRIGGER unit_no_replacing BEFORE INSERT ON unit
 WHEN EXISTS (SELECT 1 FROM unit WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER unit_one_correction BEFORE INSERT ON unit WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM unit WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER unit_no_update BEFORE UPDATE ON unit
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER unit_no_delete BEFORE DELETE ON unit
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER unit_one_name BEFORE INSERT ON unit WHEN NEW.withdrawn = 0
 AND EXISTS (SELECT 1 FROM now_unit WHERE "code" = NEW."code" AND id <> NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: two have one name'); END;
CREATE INDEX unit_by_0 ON unit(batch);
CREATE INDEX unit_by_1 ON unit(code);
CREATE INDEX gone_root ON gone(root);
CREATE UNIQUE INDEX gone_corrects ON gone(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_gone AS SELECT (SELECT o.seq FROM gone o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."unit", t."place", t."use", t."gone_on" FROM gone t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM gone later WHERE later.corrects = t.id);
CREATE TRIGGER gone_no_replacing BEFORE INSERT ON gone
 WHEN EXISTS (SELECT 1 FROM gone WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER gone_one_correction BEFORE INSERT ON gone WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM gone WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER gone_no_update BEFORE UPDATE ON gone
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER gone_no_delete BEFORE DELETE ON gone
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE INDEX gone_by_0 ON gone(unit, place);
CREATE INDEX gone_by_1 ON gone(place, unit);
CREATE INDEX complaint_root ON complaint(root);
CREATE UNIQUE INDEX complaint_corrects ON complaint(corrects) WHERE corrects IS NOT NULL;
CREATE VIEW now_complaint AS SELECT (SELECT o.seq FROM complaint o WHERE o.id = t.root) AS began, t.root AS id,
 t.id AS row, t.entered_at, t."batch", t."unit", t."told_on", t."words", t."serious", t."reported_on", t."reported_to" FROM complaint t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM complaint later WHERE later.corrects = t.id);
CREATE TRIGGER complaint_no_replacing BEFORE INSERT ON complaint
 WHEN EXISTS (SELECT 1 FROM complaint WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END;
CREATE TRIGGER complaint_one_correction BEFORE INSERT ON complaint WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM complaint WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END;
CREATE TRIGGER complaint_no_update BEFORE UPDATE ON complaint
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE TRIGGER complaint_no_delete BEFORE DELETE ON complaint
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END;
CREATE INDEX complaint_by_0 ON complaint(batch);
CREATE INDEX complaint_by_1 ON complaint(unit);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('lot',1);
INSERT INTO "sqlite_sequence" VALUES('batch',1);
INSERT INTO "sqlite_sequence" VALUES('weighing',3);
INSERT INTO "sqlite_sequence" VALUES('deed',1);
INSERT INTO "sqlite_sequence" VALUES('reading',4);
INSERT INTO "sqlite_sequence" VALUES('deviation',1);
INSERT INTO "sqlite_sequence" VALUES('fill',3);
INSERT INTO "sqlite_sequence" VALUES('unit',1);
INSERT INTO "sqlite_sequence" VALUES('gone',1);
INSERT INTO "sqlite_sequence" VALUES('complaint',1);
COMMIT;
