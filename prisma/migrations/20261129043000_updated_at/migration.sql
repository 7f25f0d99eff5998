-- When each thing was last changed, as the change log has it: noted by the database with each entry, so that none is forgotten.
CREATE OR REPLACE FUNCTION refuse_change_of_fact() RETURNS TRIGGER LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP = 'UPDATE'
    AND to_jsonb(OLD) - 'replacedById' - 'updatedAt' = to_jsonb(NEW) - 'replacedById' - 'updatedAt' THEN
    RETURN NEW;
  END IF;
  RAISE EXCEPTION 'a fact is never changed: correct it by another' USING ERRCODE = 'restrict_violation';
END
$$;

ALTER TABLE "Site" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Vessel" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Beer" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "ContainerType" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Pack" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Filler" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Fleet" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Store" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Route" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Account" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Order" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Reservation" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Batch" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "StockLot" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;
ALTER TABLE "Fact" ADD COLUMN "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;

CREATE INDEX "Fact_distributorId_replacedById_idx" ON "Fact"("distributorId", "replacedById");
CREATE INDEX "Fact_distributorId_updatedAt_idx" ON "Fact"("distributorId", "updatedAt");
CREATE INDEX "Order_distributorId_updatedAt_idx" ON "Order"("distributorId", "updatedAt");
CREATE INDEX "Reservation_distributorId_updatedAt_idx" ON "Reservation"("distributorId", "updatedAt");

CREATE FUNCTION note_updated_at() RETURNS TRIGGER LANGUAGE plpgsql AS $$
BEGIN
  IF NEW."entityType" IN ('Site', 'Vessel', 'Beer', 'ContainerType', 'Pack', 'Filler', 'Fleet', 'Store', 'Route', 'Account', 'Order', 'Reservation', 'Batch', 'StockLot', 'Fact') THEN
    EXECUTE format('UPDATE %I SET "updatedAt" = $1 WHERE "distributorId" = $2 AND "id" = $3', NEW."entityType")
      USING NEW."at", NEW."distributorId", NEW."entityId";
  END IF;
  IF NEW."entityType" = 'OrderLine' THEN
    UPDATE "Order" o SET "updatedAt" = NEW."at" FROM "OrderLine" l
      WHERE l."distributorId" = NEW."distributorId" AND l."id" = NEW."entityId"
        AND o."distributorId" = l."distributorId" AND o."id" = l."orderId";
  ELSIF NEW."entityType" = 'Reservation' THEN
    UPDATE "Order" o SET "updatedAt" = NEW."at" FROM "Reservation" r
      WHERE r."distributorId" = NEW."distributorId" AND r."id" = NEW."entityId"
        AND o."distributorId" = r."distributorId" AND o."id" = r."orderId";
  ELSIF NEW."entityType" = 'Fact' THEN
    PERFORM note_updated_by_fact(NEW."distributorId", NEW."entityId", NEW."at");
  END IF;
  RETURN NULL;
END
$$;

-- A fact changes what it is about, and so does one whose place it takes.
CREATE FUNCTION note_updated_by_fact(distributor TEXT, fact TEXT, instant TIMESTAMPTZ) RETURNS VOID LANGUAGE plpgsql AS $$
DECLARE
  touched RECORD;
BEGIN
  UPDATE "Fact" SET "updatedAt" = instant WHERE "distributorId" = distributor AND "replacedById" = fact;
  FOR touched IN
    SELECT DISTINCT s."kind", s."subjectId" FROM "Fact" f
      JOIN "FactSubject" s ON s."distributorId" = f."distributorId" AND s."factId" = f."id"
      WHERE f."distributorId" = distributor AND (f."id" = fact OR f."replacedById" = fact)
  LOOP
    CASE touched."kind"
      WHEN 'BATCH' THEN
        UPDATE "Batch" SET "updatedAt" = instant WHERE "distributorId" = distributor AND "id" = touched."subjectId";
      WHEN 'LOT' THEN
        UPDATE "StockLot" SET "updatedAt" = instant WHERE "distributorId" = distributor AND "id" = touched."subjectId";
      WHEN 'VESSEL' THEN
        UPDATE "Vessel" SET "updatedAt" = instant WHERE "distributorId" = distributor AND "id" = touched."subjectId";
      WHEN 'ORDER_LINE' THEN
        UPDATE "Order" o SET "updatedAt" = instant FROM "OrderLine" l
          WHERE l."distributorId" = distributor AND l."id" = touched."subjectId"
            AND o."distributorId" = distributor AND o."id" = l."orderId";
      ELSE
        NULL;
    END CASE;
  END LOOP;
END
$$;

-- Behind the statement: what it writes beside the log is there by then.
CREATE TRIGGER "ChangeLogEntry_notes_updated_at" AFTER INSERT ON "ChangeLogEntry"
  FOR EACH ROW EXECUTE FUNCTION note_updated_at();

UPDATE "Site" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Site' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Vessel" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Vessel' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Beer" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Beer' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "ContainerType" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'ContainerType' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Pack" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Pack' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Filler" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Filler' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Fleet" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Fleet' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Store" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Store' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Route" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Route' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Account" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Account' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Order" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Order' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Reservation" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Reservation' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Batch" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'Batch' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "StockLot" t SET "updatedAt" = e."at" FROM (SELECT "distributorId", "entityId", max("at") AS "at" FROM "ChangeLogEntry" WHERE "entityType" = 'StockLot' GROUP BY 1, 2) e WHERE e."distributorId" = t."distributorId" AND e."entityId" = t."id";
UPDATE "Fact" f SET "updatedAt" = coalesce((SELECT "recordedAt" FROM "Fact" r WHERE r."distributorId" = f."distributorId" AND r."id" = f."replacedById"), f."recordedAt");
