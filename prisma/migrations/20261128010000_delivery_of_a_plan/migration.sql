-- What one plan serves of a line is found without reading what all others serve of it. (20261128010000)

DROP INDEX "Delivery_distributorId_orderLineId_idx";
CREATE INDEX "Delivery_distributorId_orderLineId_planId_idx" ON "Delivery"("distributorId", "orderLineId", "planId");
