-- A random epoch of each commit beside its revision: where a database comes back without its last commits, their numbers are
-- given again, and what was read from them is known by its epoch to be of commits that do not exist.
ALTER TABLE "Distributor" ADD COLUMN "epoch" UUID NOT NULL DEFAULT gen_random_uuid();
ALTER TABLE "ChangeLogEntry" ADD COLUMN "epoch" UUID NOT NULL DEFAULT gen_random_uuid();

-- The latest commit is that of the distributor's row.
UPDATE "ChangeLogEntry" c SET "epoch" = d."epoch" FROM "Distributor" d
  WHERE d."id" = c."distributorId" AND d."revision" = c."revision";
