-- What the second form knows more: machine time, what came straight from the shop's file, whether heats were counted.

-- Of planned and usual time, what sheet and machine take, whoever works.
ALTER TABLE timed ADD COLUMN fixed_s REAL NOT NULL DEFAULT 0 CHECK (fixed_s >= 0);

-- The job that took it straight from the shop's file: taken back, it stands in that file alone again.
ALTER TABLE offcut ADD COLUMN adopted_by INTEGER REFERENCES job;

-- Whether the sheet was uncounted until this job took of it: taken back, the shop's file tells its count again.
ALTER TABLE taken ADD COLUMN uncounted INTEGER NOT NULL DEFAULT 0 CHECK (uncounted IN (0, 1));

-- Whether the heats were counted, or follow from the parts and those that were spoiled. The first form did not say.
ALTER TABLE job ADD COLUMN counted INTEGER NOT NULL DEFAULT 0 CHECK (counted IN (0, 1));
UPDATE job SET counted = 1 WHERE heats IS NOT NULL AND heats <> formed + coalesce(spoiled, 0);
