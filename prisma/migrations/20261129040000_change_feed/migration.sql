-- The change feed: with whose key something was done, and from where on the log is whole.
ALTER TABLE "ChangeLogEntry" ADD COLUMN "keyId" TEXT;

ALTER TABLE "Distributor" ADD COLUMN "changesFrom" INTEGER NOT NULL DEFAULT 0,
  ADD CONSTRAINT "Distributor_changesFrom_check" CHECK ("changesFrom" >= 0);
