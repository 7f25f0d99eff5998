-- What happened: facts, and the ledger of litres and containers that follows from them. Entries are appended, never changed.
-- CreateEnum
CREATE TYPE "UnsaidWork" AS ENUM ('ASSUMED', 'DUE_UNTIL_SAID');

-- CreateEnum
CREATE TYPE "LedgerUnit" AS ENUM ('MILLILITRES', 'CONTAINERS');

-- CreateEnum
CREATE TYPE "FactSubjectKind" AS ENUM ('BATCH', 'LOT', 'ORDER_LINE', 'ACCOUNT', 'VESSEL', 'ROUTE');

-- AlterTable
ALTER TABLE "Beer" ADD COLUMN     "finalGravity" DOUBLE PRECISION,
ADD COLUMN     "gravityTolerance" DOUBLE PRECISION NOT NULL DEFAULT 0.002;

-- AlterTable
ALTER TABLE "Distributor" ADD COLUMN     "closedThrough" DATE,
ADD COLUMN     "rolledThrough" DATE;

-- AlterTable
ALTER TABLE "OrderLine" ADD COLUMN     "closedShort" INTEGER NOT NULL DEFAULT 0;

-- AlterTable
ALTER TABLE "Site" ADD COLUMN     "dayEnds" TEXT NOT NULL DEFAULT '23:59',
ADD COLUMN     "number" INTEGER NOT NULL DEFAULT 0,
ADD COLUMN     "unsaidWork" "UnsaidWork" NOT NULL DEFAULT 'ASSUMED';

-- AlterTable
ALTER TABLE "StockLot" ADD COLUMN     "quarantined" BOOLEAN NOT NULL DEFAULT false;

-- AlterTable
ALTER TABLE "Vessel" ADD COLUMN     "emptiedOn" DATE;

-- CreateTable
CREATE TABLE "Fact" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "number" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "on" DATE NOT NULL,
    "at" TIMESTAMPTZ(3),
    "data" JSONB NOT NULL,
    "reference" TEXT,
    "contentHash" TEXT NOT NULL,
    "saidBy" TEXT NOT NULL,
    "assumed" BOOLEAN NOT NULL DEFAULT false,
    "revision" INTEGER NOT NULL,
    "recordedAt" TIMESTAMPTZ(3) NOT NULL,
    "correctsId" TEXT,
    "withdraws" BOOLEAN NOT NULL DEFAULT false,
    "replacedById" TEXT,
    "decisionKind" TEXT,
    "decisionId" TEXT,
    "warnings" JSONB NOT NULL DEFAULT '[]',

    CONSTRAINT "Fact_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "FactSubject" (
    "distributorId" TEXT NOT NULL,
    "factId" TEXT NOT NULL,
    "kind" "FactSubjectKind" NOT NULL,
    "subjectId" TEXT NOT NULL,

    CONSTRAINT "FactSubject_pkey" PRIMARY KEY ("distributorId","factId","kind","subjectId")
);

-- CreateTable
CREATE TABLE "LedgerEntry" (
    "distributorId" TEXT NOT NULL,
    "revision" INTEGER NOT NULL,
    "n" INTEGER NOT NULL,
    "factId" TEXT NOT NULL,
    "on" DATE NOT NULL,
    "rank" INTEGER NOT NULL,
    "recorded" INTEGER NOT NULL,
    "unit" "LedgerUnit" NOT NULL,
    "amount" INTEGER NOT NULL,
    "from" TEXT NOT NULL,
    "to" TEXT NOT NULL,
    "setsTo" INTEGER,
    "settles" BOOLEAN NOT NULL DEFAULT false,
    "reversesRevision" INTEGER,
    "reversesN" INTEGER,

    CONSTRAINT "LedgerEntry_pkey" PRIMARY KEY ("distributorId","revision","n")
);

-- CreateTable
CREATE TABLE "PlaceBalance" (
    "distributorId" TEXT NOT NULL,
    "place" TEXT NOT NULL,
    "unit" "LedgerUnit" NOT NULL,
    "amount" BIGINT NOT NULL,

    CONSTRAINT "PlaceBalance_pkey" PRIMARY KEY ("distributorId","place")
);

-- CreateIndex
CREATE INDEX "Fact_distributorId_on_idx" ON "Fact"("distributorId", "on");

-- CreateIndex
CREATE INDEX "Fact_distributorId_contentHash_idx" ON "Fact"("distributorId", "contentHash");

-- CreateIndex
CREATE INDEX "Fact_distributorId_decisionKind_decisionId_idx" ON "Fact"("distributorId", "decisionKind", "decisionId");

-- CreateIndex
CREATE INDEX "Fact_distributorId_correctsId_idx" ON "Fact"("distributorId", "correctsId");

-- CreateIndex
CREATE UNIQUE INDEX "Fact_distributorId_reference_key" ON "Fact"("distributorId", "reference");

-- CreateIndex
CREATE UNIQUE INDEX "Fact_distributorId_number_key" ON "Fact"("distributorId", "number");

-- CreateIndex
CREATE INDEX "FactSubject_distributorId_kind_subjectId_idx" ON "FactSubject"("distributorId", "kind", "subjectId");

-- CreateIndex
CREATE INDEX "LedgerEntry_distributorId_from_on_idx" ON "LedgerEntry"("distributorId", "from", "on");

-- CreateIndex
CREATE INDEX "LedgerEntry_distributorId_to_on_idx" ON "LedgerEntry"("distributorId", "to", "on");

-- CreateIndex
CREATE INDEX "LedgerEntry_distributorId_factId_idx" ON "LedgerEntry"("distributorId", "factId");

-- AddForeignKey
ALTER TABLE "Fact" ADD CONSTRAINT "Fact_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "FactSubject" ADD CONSTRAINT "FactSubject_distributorId_factId_fkey" FOREIGN KEY ("distributorId", "factId") REFERENCES "Fact"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "LedgerEntry" ADD CONSTRAINT "LedgerEntry_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PlaceBalance" ADD CONSTRAINT "PlaceBalance_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;



ALTER TABLE "Site"
  ADD CONSTRAINT "Site_dayEnds_check" CHECK (is_time_of_day("dayEnds")),
  ADD CONSTRAINT "Site_number_check" CHECK ("number" BETWEEN 0 AND 35);

ALTER TABLE "Beer"
  ADD CONSTRAINT "Beer_finalGravity_check" CHECK ("finalGravity" BETWEEN 0.98 AND 1.2),
  ADD CONSTRAINT "Beer_gravityTolerance_check" CHECK ("gravityTolerance" BETWEEN 0 AND 0.05);

ALTER TABLE "OrderLine"
  ADD CONSTRAINT "OrderLine_closedShort_check" CHECK ("closedShort" >= 0 AND "dispatched" + "closedShort" <= "quantity");

ALTER TABLE "Fact"
  ADD CONSTRAINT "Fact_reference_check" CHECK (is_name("reference")),
  ADD CONSTRAINT "Fact_withdraws_check" CHECK (NOT "withdraws" OR "correctsId" IS NOT NULL);

ALTER TABLE "LedgerEntry"
  ADD CONSTRAINT "LedgerEntry_amount_check" CHECK ("amount" >= 0),
  ADD CONSTRAINT "LedgerEntry_places_check" CHECK ("from" <> "to"),
  ADD CONSTRAINT "LedgerEntry_setsTo_check" CHECK ("setsTo" >= 0),
  ADD CONSTRAINT "LedgerEntry_reverses_check" CHECK (("reversesRevision" IS NULL) = ("reversesN" IS NULL));

-- The ledger is append-only.
CREATE FUNCTION refuse_change_of_ledger() RETURNS TRIGGER LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION 'the ledger is never changed: correct the fact, which appends entries' USING ERRCODE = 'restrict_violation';
END
$$;
CREATE TRIGGER "LedgerEntry_append_only" BEFORE UPDATE OR DELETE ON "LedgerEntry"
  FOR EACH ROW EXECUTE FUNCTION refuse_change_of_ledger();

-- A fact is never overwritten: only which fact counts in its place may be noted, once.
CREATE FUNCTION refuse_change_of_fact() RETURNS TRIGGER LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP = 'UPDATE' AND to_jsonb(OLD) - 'replacedById' = to_jsonb(NEW) - 'replacedById' THEN
    RETURN NEW;
  END IF;
  RAISE EXCEPTION 'a fact is never changed: correct it by another' USING ERRCODE = 'restrict_violation';
END
$$;
CREATE TRIGGER "Fact_never_overwritten" BEFORE UPDATE OR DELETE ON "Fact"
  FOR EACH ROW EXECUTE FUNCTION refuse_change_of_fact();

-- Lot codes begin with the number of the site: the sites that there are count up in the order of their ids.
UPDATE "Site" SET "number" = ranked."number"
FROM (SELECT "distributorId", "id", (row_number() OVER (PARTITION BY "distributorId" ORDER BY "id") - 1) % 36 AS "number" FROM "Site") AS ranked
WHERE "Site"."distributorId" = ranked."distributorId" AND "Site"."id" = ranked."id";
