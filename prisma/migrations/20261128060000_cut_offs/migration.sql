-- B6: a route takes orders for a day until a cut-off; an order line knows when it was placed.
ALTER TABLE "Route" ADD COLUMN "cutOffDaysBefore" INTEGER, ADD COLUMN "cutOffAt" TEXT;
ALTER TABLE "Route"
  ADD CONSTRAINT "Route_cutOff_check" CHECK (("cutOffDaysBefore" IS NULL) = ("cutOffAt" IS NULL)),
  ADD CONSTRAINT "Route_cutOffDaysBefore_check" CHECK ("cutOffDaysBefore" BETWEEN 0 AND 60),
  ADD CONSTRAINT "Route_cutOffAt_check" CHECK (is_time_of_day("cutOffAt"));
ALTER TABLE "OrderLine" ADD COLUMN "placedAt" TIMESTAMPTZ(3);
UPDATE "OrderLine" SET "placedAt" = "Order"."placedAt"
FROM "Order"
WHERE "Order"."distributorId" = "OrderLine"."distributorId" AND "Order"."id" = "OrderLine"."orderId";
