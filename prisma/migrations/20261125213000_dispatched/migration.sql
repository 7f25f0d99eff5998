-- What has left and what has arrived of an order line: a fact, which no amendment takes back. (20261125213000)

ALTER TABLE "OrderLine"
  ADD COLUMN "dispatched" INTEGER NOT NULL DEFAULT 0,
  ADD COLUMN "delivered" INTEGER NOT NULL DEFAULT 0;

ALTER TABLE "OrderLine"
  ADD CONSTRAINT "OrderLine_dispatched_check" CHECK ("dispatched" <= "quantity"),
  ADD CONSTRAINT "OrderLine_delivered_check" CHECK ("delivered" BETWEEN 0 AND "dispatched");
