-- What is on the road for a line: what was called back there is too, though it counts as sent no more.

ALTER TABLE "OrderLine" ADD COLUMN     "onRoad" INTEGER NOT NULL DEFAULT 0;

UPDATE "OrderLine" SET "onRoad" = "dispatched" - "delivered" WHERE "status" = 'OPEN' AND "dispatched" > "delivered";

ALTER TABLE "OrderLine" ADD CONSTRAINT "OrderLine_onRoad_check" CHECK ("onRoad" >= 0);
