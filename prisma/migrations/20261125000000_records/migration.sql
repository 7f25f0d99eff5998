-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateEnum
CREATE TYPE "VesselKind" AS ENUM ('FERMENTER', 'BRIGHT');

-- CreateEnum
CREATE TYPE "ContainerKind" AS ENUM ('CASK', 'KEG');

-- CreateEnum
CREATE TYPE "Climate" AS ENUM ('COLD', 'WARM');

-- CreateEnum
CREATE TYPE "OrderStatus" AS ENUM ('OPEN', 'DELIVERED', 'CANCELLED');

-- CreateEnum
CREATE TYPE "PlanStatus" AS ENUM ('SOLVING', 'DRAFT', 'IN_FORCE', 'PAST', 'FAILED');

-- CreateEnum
CREATE TYPE "VerdictKind" AS ENUM ('UNSERVED', 'LATE', 'BROKEN_PROMISE');

-- CreateEnum
CREATE TYPE "DecisionKind" AS ENUM ('BREW', 'TRANSFER', 'FILL_RUN');

-- CreateTable
CREATE TABLE "Distributor" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "timeZone" TEXT NOT NULL,
    "revision" INTEGER NOT NULL DEFAULT 0,
    "horizonDays" INTEGER NOT NULL DEFAULT 60,
    "frozenDays" INTEGER NOT NULL DEFAULT 0,
    "costs" JSONB NOT NULL DEFAULT '{}',

    CONSTRAINT "Distributor_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Site" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "name" TEXT NOT NULL,
    "timeZone" TEXT NOT NULL,
    "brewWeekdays" INTEGER[],
    "fillWeekdays" INTEGER[],
    "brewsPerDay" INTEGER NOT NULL,
    "brewLitres" DOUBLE PRECISION,
    "brewEnds" TEXT NOT NULL,
    "fillStarts" TEXT NOT NULL,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "Site_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "SiteClosure" (
    "distributorId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "on" DATE NOT NULL,

    CONSTRAINT "SiteClosure_pkey" PRIMARY KEY ("distributorId","siteId","on")
);

-- CreateTable
CREATE TABLE "Vessel" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "siteId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "kind" "VesselKind" NOT NULL,
    "capacityLitres" DOUBLE PRECISION NOT NULL,
    "minFillLitres" DOUBLE PRECISION NOT NULL,
    "turnaroundDays" INTEGER NOT NULL,
    "availableFrom" DATE,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "Vessel_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "VesselOutage" (
    "distributorId" TEXT NOT NULL,
    "vesselId" TEXT NOT NULL,
    "from" DATE NOT NULL,
    "to" DATE NOT NULL,

    CONSTRAINT "VesselOutage_pkey" PRIMARY KEY ("distributorId","vesselId","from")
);

-- CreateTable
CREATE TABLE "Beer" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "name" TEXT NOT NULL,
    "style" TEXT NOT NULL,
    "fermentHours" DOUBLE PRECISION NOT NULL,
    "restHours" DOUBLE PRECISION NOT NULL,
    "dryHopHours" DOUBLE PRECISION NOT NULL,
    "crashHours" DOUBLE PRECISION NOT NULL,
    "maxTankDays" INTEGER NOT NULL,
    "brightDays" INTEGER NOT NULL,
    "maxBrightDays" INTEGER NOT NULL,
    "maxOpenDays" INTEGER,
    "lossFraction" DOUBLE PRECISION NOT NULL,
    "anyVessel" BOOLEAN NOT NULL DEFAULT true,
    "setupWeight" DOUBLE PRECISION NOT NULL DEFAULT 1,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "Beer_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "BeerVessel" (
    "distributorId" TEXT NOT NULL,
    "beerId" TEXT NOT NULL,
    "vesselId" TEXT NOT NULL,

    CONSTRAINT "BeerVessel_pkey" PRIMARY KEY ("distributorId","beerId","vesselId")
);

-- CreateTable
CREATE TABLE "Pack" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "beerId" TEXT NOT NULL,
    "containerTypeId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "drawFrom" "VesselKind" NOT NULL,
    "conditioningDays" INTEGER NOT NULL,
    "conditionIn" "Climate" NOT NULL DEFAULT 'COLD',
    "settleDays" INTEGER NOT NULL,
    "shelfLifeDays" INTEGER NOT NULL,
    "primed" BOOLEAN NOT NULL DEFAULT false,
    "primingWindowDays" INTEGER,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "Pack_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "ContainerType" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "name" TEXT NOT NULL,
    "kind" "ContainerKind" NOT NULL,
    "nominalLitres" DOUBLE PRECISION NOT NULL,
    "overfillFraction" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "ContainerType_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "Filler" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "siteId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "minutesPerDay" DOUBLE PRECISION NOT NULL,
    "setupMinutes" DOUBLE PRECISION,
    "setupLossLitres" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "Filler_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "FillerDay" (
    "distributorId" TEXT NOT NULL,
    "fillerId" TEXT NOT NULL,
    "on" DATE NOT NULL,
    "minutes" DOUBLE PRECISION NOT NULL,

    CONSTRAINT "FillerDay_pkey" PRIMARY KEY ("distributorId","fillerId","on")
);

-- CreateTable
CREATE TABLE "FillerSetup" (
    "distributorId" TEXT NOT NULL,
    "fillerId" TEXT NOT NULL,
    "beerId" TEXT NOT NULL,
    "minutes" DOUBLE PRECISION NOT NULL,

    CONSTRAINT "FillerSetup_pkey" PRIMARY KEY ("distributorId","fillerId","beerId")
);

-- CreateTable
CREATE TABLE "FillerRate" (
    "distributorId" TEXT NOT NULL,
    "fillerId" TEXT NOT NULL,
    "containerTypeId" TEXT NOT NULL,
    "minutesEach" DOUBLE PRECISION NOT NULL,

    CONSTRAINT "FillerRate_pkey" PRIMARY KEY ("distributorId","fillerId","containerTypeId")
);

-- CreateTable
CREATE TABLE "Fleet" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "siteId" TEXT NOT NULL,
    "containerTypeId" TEXT NOT NULL,
    "cleanNow" INTEGER NOT NULL,
    "washDays" INTEGER NOT NULL DEFAULT 0,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "Fleet_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "FleetReturn" (
    "distributorId" TEXT NOT NULL,
    "fleetId" TEXT NOT NULL,
    "on" DATE NOT NULL,
    "quantity" INTEGER NOT NULL,

    CONSTRAINT "FleetReturn_pkey" PRIMARY KEY ("distributorId","fleetId","on")
);

-- CreateTable
CREATE TABLE "Store" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "siteId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "climate" "Climate" NOT NULL,
    "capacityLitres" DOUBLE PRECISION NOT NULL,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "Store_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "Route" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "siteId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "weekdays" INTEGER[],
    "transitDays" INTEGER NOT NULL,
    "capacityLitres" DOUBLE PRECISION,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "Route_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "RouteClosure" (
    "distributorId" TEXT NOT NULL,
    "routeId" TEXT NOT NULL,
    "on" DATE NOT NULL,

    CONSTRAINT "RouteClosure_pkey" PRIMARY KEY ("distributorId","routeId","on")
);

-- CreateTable
CREATE TABLE "Account" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "name" TEXT NOT NULL,
    "receivesWeekdays" INTEGER[] DEFAULT ARRAY[1, 2, 3, 4, 5, 6, 7]::INTEGER[],
    "settleDays" INTEGER,
    "minDaysOnSale" INTEGER NOT NULL DEFAULT 0,
    "maxEarlyDays" INTEGER NOT NULL DEFAULT 6,
    "returnDays" INTEGER,
    "retiredAt" TIMESTAMPTZ(3),

    CONSTRAINT "Account_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "AccountRoute" (
    "distributorId" TEXT NOT NULL,
    "accountId" TEXT NOT NULL,
    "routeId" TEXT NOT NULL,

    CONSTRAINT "AccountRoute_pkey" PRIMARY KEY ("distributorId","accountId","routeId")
);

-- CreateTable
CREATE TABLE "Order" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "number" INTEGER NOT NULL,
    "accountId" TEXT NOT NULL,
    "status" "OrderStatus" NOT NULL DEFAULT 'OPEN',
    "placedAt" TIMESTAMPTZ(3) NOT NULL,
    "cancelledAt" TIMESTAMPTZ(3),
    "note" TEXT,

    CONSTRAINT "Order_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "OrderLine" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "orderId" TEXT NOT NULL,
    "lineNumber" INTEGER NOT NULL,
    "packId" TEXT NOT NULL,
    "quantity" INTEGER NOT NULL,
    "serveOn" DATE NOT NULL,
    "latestServeOn" DATE,
    "promisedOn" DATE,
    "priority" INTEGER NOT NULL DEFAULT 3,
    "splittable" BOOLEAN NOT NULL DEFAULT false,
    "status" "OrderStatus" NOT NULL DEFAULT 'OPEN',

    CONSTRAINT "OrderLine_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "Batch" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "code" TEXT NOT NULL,
    "beerId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "vesselId" TEXT NOT NULL,
    "vesselKind" "VesselKind" NOT NULL,
    "litres" DOUBLE PRECISION NOT NULL,
    "readyAt" TIMESTAMPTZ(3) NOT NULL,
    "brewedOn" DATE,
    "transferredOn" DATE,
    "openedOn" DATE,
    "primable" BOOLEAN NOT NULL DEFAULT true,
    "quarantined" BOOLEAN NOT NULL DEFAULT false,
    "emptiedOn" DATE,

    CONSTRAINT "Batch_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "StockLot" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "externalRef" TEXT,
    "code" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "packId" TEXT NOT NULL,
    "batchId" TEXT,
    "quantity" INTEGER NOT NULL,
    "filledOn" DATE NOT NULL,
    "readyOn" DATE NOT NULL,
    "bestBefore" DATE NOT NULL,

    CONSTRAINT "StockLot_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "Plan" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "status" "PlanStatus" NOT NULL,
    "fromRevision" INTEGER NOT NULL,
    "baselineId" TEXT,
    "today" DATE NOT NULL,
    "horizonDays" INTEGER NOT NULL,
    "frozenDays" INTEGER NOT NULL,
    "costs" JSONB NOT NULL,
    "costTotal" DOUBLE PRECISION,
    "costTerms" JSONB,
    "lowerBound" DOUBLE PRECISION,
    "boundKind" TEXT,
    "gap" DOUBLE PRECISION,
    "seed" INTEGER NOT NULL,
    "steps" INTEGER,
    "progress" JSONB,
    "statistics" JSONB,
    "failure" JSONB,
    "createdAt" TIMESTAMPTZ(3) NOT NULL,
    "solvedAt" TIMESTAMPTZ(3),
    "adoptedAt" TIMESTAMPTZ(3),
    "replacedAt" TIMESTAMPTZ(3),

    CONSTRAINT "Plan_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "PlannedBrew" (
    "distributorId" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "beerId" TEXT NOT NULL,
    "vesselId" TEXT NOT NULL,
    "vesselKind" "VesselKind" NOT NULL DEFAULT 'FERMENTER',
    "brewOn" DATE NOT NULL,
    "litres" DOUBLE PRECISION NOT NULL,
    "fixed" BOOLEAN NOT NULL DEFAULT false,

    CONSTRAINT "PlannedBrew_pkey" PRIMARY KEY ("distributorId","planId","id")
);

-- CreateTable
CREATE TABLE "PlannedTransfer" (
    "distributorId" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "batchId" TEXT,
    "brewId" TEXT,
    "toVesselId" TEXT NOT NULL,
    "vesselKind" "VesselKind" NOT NULL DEFAULT 'BRIGHT',
    "on" DATE NOT NULL,
    "litres" DOUBLE PRECISION NOT NULL,
    "fixed" BOOLEAN NOT NULL DEFAULT false,

    CONSTRAINT "PlannedTransfer_pkey" PRIMARY KEY ("distributorId","planId","id")
);

-- CreateTable
CREATE TABLE "FillRun" (
    "distributorId" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "batchId" TEXT,
    "brewId" TEXT,
    "fillerId" TEXT NOT NULL,
    "packId" TEXT NOT NULL,
    "on" DATE NOT NULL,
    "quantity" INTEGER NOT NULL,
    "fixed" BOOLEAN NOT NULL DEFAULT false,

    CONSTRAINT "FillRun_pkey" PRIMARY KEY ("distributorId","planId","id")
);

-- CreateTable
CREATE TABLE "Delivery" (
    "distributorId" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "n" INTEGER NOT NULL,
    "siteId" TEXT NOT NULL,
    "orderLineId" TEXT NOT NULL,
    "routeId" TEXT NOT NULL,
    "dispatchOn" DATE NOT NULL,
    "serveOn" DATE NOT NULL,

    CONSTRAINT "Delivery_pkey" PRIMARY KEY ("distributorId","planId","n")
);

-- CreateTable
CREATE TABLE "DeliverySource" (
    "distributorId" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "deliveryN" INTEGER NOT NULL,
    "n" INTEGER NOT NULL,
    "siteId" TEXT NOT NULL,
    "fillRunId" TEXT,
    "stockLotId" TEXT,
    "quantity" INTEGER NOT NULL,

    CONSTRAINT "DeliverySource_pkey" PRIMARY KEY ("distributorId","planId","deliveryN","n")
);

-- CreateTable
CREATE TABLE "Dump" (
    "distributorId" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "n" INTEGER NOT NULL,
    "siteId" TEXT NOT NULL,
    "batchId" TEXT,
    "brewId" TEXT,
    "on" DATE NOT NULL,
    "litres" DOUBLE PRECISION NOT NULL,

    CONSTRAINT "Dump_pkey" PRIMARY KEY ("distributorId","planId","n")
);

-- CreateTable
CREATE TABLE "PlanVerdict" (
    "distributorId" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "kind" "VerdictKind" NOT NULL,
    "orderLineId" TEXT NOT NULL,
    "quantity" INTEGER,
    "promisedOn" DATE,
    "now" DATE,
    "reasons" JSONB NOT NULL,

    CONSTRAINT "PlanVerdict_pkey" PRIMARY KEY ("distributorId","planId","kind","orderLineId")
);

-- CreateTable
CREATE TABLE "PlanMove" (
    "distributorId" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "kind" "DecisionKind" NOT NULL,
    "decisionId" TEXT NOT NULL,
    "reasons" JSONB NOT NULL,

    CONSTRAINT "PlanMove_pkey" PRIMARY KEY ("distributorId","planId","kind","decisionId")
);

-- CreateTable
CREATE TABLE "ApiKey" (
    "distributorId" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "scopes" TEXT[],
    "createdAt" TIMESTAMPTZ(3) NOT NULL,
    "revokedAt" TIMESTAMPTZ(3),

    CONSTRAINT "ApiKey_pkey" PRIMARY KEY ("distributorId","id")
);

-- CreateTable
CREATE TABLE "ChangeLogEntry" (
    "distributorId" TEXT NOT NULL,
    "revision" INTEGER NOT NULL,
    "n" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "entityType" TEXT NOT NULL,
    "entityId" TEXT NOT NULL,
    "before" JSONB,
    "after" JSONB,
    "at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "ChangeLogEntry_pkey" PRIMARY KEY ("distributorId","revision","n")
);

-- CreateTable
CREATE TABLE "IdempotencyKey" (
    "distributorId" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "payloadHash" TEXT NOT NULL,
    "response" JSONB,
    "createdAt" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "IdempotencyKey_pkey" PRIMARY KEY ("distributorId","key")
);

-- CreateIndex
CREATE UNIQUE INDEX "Site_distributorId_externalRef_key" ON "Site"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Vessel_distributorId_externalRef_key" ON "Vessel"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Vessel_distributorId_siteId_id_key" ON "Vessel"("distributorId", "siteId", "id");

-- CreateIndex
CREATE UNIQUE INDEX "Vessel_distributorId_siteId_kind_id_key" ON "Vessel"("distributorId", "siteId", "kind", "id");

-- CreateIndex
CREATE UNIQUE INDEX "Beer_distributorId_externalRef_key" ON "Beer"("distributorId", "externalRef");

-- CreateIndex
CREATE INDEX "Pack_distributorId_beerId_idx" ON "Pack"("distributorId", "beerId");

-- CreateIndex
CREATE UNIQUE INDEX "Pack_distributorId_externalRef_key" ON "Pack"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "ContainerType_distributorId_externalRef_key" ON "ContainerType"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Filler_distributorId_externalRef_key" ON "Filler"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Filler_distributorId_siteId_id_key" ON "Filler"("distributorId", "siteId", "id");

-- CreateIndex
CREATE UNIQUE INDEX "Fleet_distributorId_externalRef_key" ON "Fleet"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Fleet_distributorId_siteId_containerTypeId_key" ON "Fleet"("distributorId", "siteId", "containerTypeId");

-- CreateIndex
CREATE UNIQUE INDEX "Store_distributorId_externalRef_key" ON "Store"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Store_distributorId_siteId_climate_key" ON "Store"("distributorId", "siteId", "climate");

-- CreateIndex
CREATE UNIQUE INDEX "Route_distributorId_externalRef_key" ON "Route"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Route_distributorId_siteId_id_key" ON "Route"("distributorId", "siteId", "id");

-- CreateIndex
CREATE UNIQUE INDEX "Account_distributorId_externalRef_key" ON "Account"("distributorId", "externalRef");

-- CreateIndex
CREATE INDEX "Order_distributorId_accountId_idx" ON "Order"("distributorId", "accountId");

-- CreateIndex
CREATE UNIQUE INDEX "Order_distributorId_externalRef_key" ON "Order"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Order_distributorId_number_key" ON "Order"("distributorId", "number");

-- CreateIndex
CREATE INDEX "OrderLine_distributorId_status_serveOn_idx" ON "OrderLine"("distributorId", "status", "serveOn");

-- CreateIndex
CREATE UNIQUE INDEX "OrderLine_distributorId_externalRef_key" ON "OrderLine"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "OrderLine_distributorId_orderId_lineNumber_key" ON "OrderLine"("distributorId", "orderId", "lineNumber");

-- CreateIndex
CREATE INDEX "Batch_distributorId_vesselId_idx" ON "Batch"("distributorId", "vesselId");

-- CreateIndex
CREATE UNIQUE INDEX "Batch_distributorId_externalRef_key" ON "Batch"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "Batch_distributorId_code_key" ON "Batch"("distributorId", "code");

-- CreateIndex
CREATE UNIQUE INDEX "Batch_distributorId_siteId_id_key" ON "Batch"("distributorId", "siteId", "id");

-- CreateIndex
CREATE INDEX "StockLot_distributorId_packId_idx" ON "StockLot"("distributorId", "packId");

-- CreateIndex
CREATE UNIQUE INDEX "StockLot_distributorId_externalRef_key" ON "StockLot"("distributorId", "externalRef");

-- CreateIndex
CREATE UNIQUE INDEX "StockLot_distributorId_code_key" ON "StockLot"("distributorId", "code");

-- CreateIndex
CREATE UNIQUE INDEX "StockLot_distributorId_siteId_id_key" ON "StockLot"("distributorId", "siteId", "id");

-- CreateIndex
CREATE INDEX "Plan_distributorId_createdAt_idx" ON "Plan"("distributorId", "createdAt");

-- CreateIndex
CREATE UNIQUE INDEX "PlannedBrew_distributorId_planId_siteId_id_key" ON "PlannedBrew"("distributorId", "planId", "siteId", "id");

-- CreateIndex
CREATE UNIQUE INDEX "FillRun_distributorId_planId_siteId_id_key" ON "FillRun"("distributorId", "planId", "siteId", "id");

-- CreateIndex
CREATE INDEX "Delivery_distributorId_orderLineId_idx" ON "Delivery"("distributorId", "orderLineId");

-- CreateIndex
CREATE UNIQUE INDEX "Delivery_distributorId_planId_siteId_n_key" ON "Delivery"("distributorId", "planId", "siteId", "n");

-- CreateIndex
CREATE INDEX "DeliverySource_distributorId_fillRunId_idx" ON "DeliverySource"("distributorId", "fillRunId");

-- CreateIndex
CREATE UNIQUE INDEX "ApiKey_hash_key" ON "ApiKey"("hash");

-- AddForeignKey
ALTER TABLE "Site" ADD CONSTRAINT "Site_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "SiteClosure" ADD CONSTRAINT "SiteClosure_distributorId_siteId_fkey" FOREIGN KEY ("distributorId", "siteId") REFERENCES "Site"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Vessel" ADD CONSTRAINT "Vessel_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Vessel" ADD CONSTRAINT "Vessel_distributorId_siteId_fkey" FOREIGN KEY ("distributorId", "siteId") REFERENCES "Site"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "VesselOutage" ADD CONSTRAINT "VesselOutage_distributorId_vesselId_fkey" FOREIGN KEY ("distributorId", "vesselId") REFERENCES "Vessel"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Beer" ADD CONSTRAINT "Beer_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "BeerVessel" ADD CONSTRAINT "BeerVessel_distributorId_beerId_fkey" FOREIGN KEY ("distributorId", "beerId") REFERENCES "Beer"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "BeerVessel" ADD CONSTRAINT "BeerVessel_distributorId_vesselId_fkey" FOREIGN KEY ("distributorId", "vesselId") REFERENCES "Vessel"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Pack" ADD CONSTRAINT "Pack_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Pack" ADD CONSTRAINT "Pack_distributorId_beerId_fkey" FOREIGN KEY ("distributorId", "beerId") REFERENCES "Beer"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Pack" ADD CONSTRAINT "Pack_distributorId_containerTypeId_fkey" FOREIGN KEY ("distributorId", "containerTypeId") REFERENCES "ContainerType"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ContainerType" ADD CONSTRAINT "ContainerType_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Filler" ADD CONSTRAINT "Filler_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Filler" ADD CONSTRAINT "Filler_distributorId_siteId_fkey" FOREIGN KEY ("distributorId", "siteId") REFERENCES "Site"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "FillerDay" ADD CONSTRAINT "FillerDay_distributorId_fillerId_fkey" FOREIGN KEY ("distributorId", "fillerId") REFERENCES "Filler"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "FillerSetup" ADD CONSTRAINT "FillerSetup_distributorId_fillerId_fkey" FOREIGN KEY ("distributorId", "fillerId") REFERENCES "Filler"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "FillerSetup" ADD CONSTRAINT "FillerSetup_distributorId_beerId_fkey" FOREIGN KEY ("distributorId", "beerId") REFERENCES "Beer"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "FillerRate" ADD CONSTRAINT "FillerRate_distributorId_fillerId_fkey" FOREIGN KEY ("distributorId", "fillerId") REFERENCES "Filler"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "FillerRate" ADD CONSTRAINT "FillerRate_distributorId_containerTypeId_fkey" FOREIGN KEY ("distributorId", "containerTypeId") REFERENCES "ContainerType"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Fleet" ADD CONSTRAINT "Fleet_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Fleet" ADD CONSTRAINT "Fleet_distributorId_siteId_fkey" FOREIGN KEY ("distributorId", "siteId") REFERENCES "Site"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Fleet" ADD CONSTRAINT "Fleet_distributorId_containerTypeId_fkey" FOREIGN KEY ("distributorId", "containerTypeId") REFERENCES "ContainerType"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "FleetReturn" ADD CONSTRAINT "FleetReturn_distributorId_fleetId_fkey" FOREIGN KEY ("distributorId", "fleetId") REFERENCES "Fleet"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Store" ADD CONSTRAINT "Store_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Store" ADD CONSTRAINT "Store_distributorId_siteId_fkey" FOREIGN KEY ("distributorId", "siteId") REFERENCES "Site"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Route" ADD CONSTRAINT "Route_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Route" ADD CONSTRAINT "Route_distributorId_siteId_fkey" FOREIGN KEY ("distributorId", "siteId") REFERENCES "Site"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "RouteClosure" ADD CONSTRAINT "RouteClosure_distributorId_routeId_fkey" FOREIGN KEY ("distributorId", "routeId") REFERENCES "Route"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Account" ADD CONSTRAINT "Account_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "AccountRoute" ADD CONSTRAINT "AccountRoute_distributorId_accountId_fkey" FOREIGN KEY ("distributorId", "accountId") REFERENCES "Account"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "AccountRoute" ADD CONSTRAINT "AccountRoute_distributorId_routeId_fkey" FOREIGN KEY ("distributorId", "routeId") REFERENCES "Route"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Order" ADD CONSTRAINT "Order_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Order" ADD CONSTRAINT "Order_distributorId_accountId_fkey" FOREIGN KEY ("distributorId", "accountId") REFERENCES "Account"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "OrderLine" ADD CONSTRAINT "OrderLine_distributorId_orderId_fkey" FOREIGN KEY ("distributorId", "orderId") REFERENCES "Order"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "OrderLine" ADD CONSTRAINT "OrderLine_distributorId_packId_fkey" FOREIGN KEY ("distributorId", "packId") REFERENCES "Pack"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Batch" ADD CONSTRAINT "Batch_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Batch" ADD CONSTRAINT "Batch_distributorId_beerId_fkey" FOREIGN KEY ("distributorId", "beerId") REFERENCES "Beer"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Batch" ADD CONSTRAINT "Batch_distributorId_siteId_vesselKind_vesselId_fkey" FOREIGN KEY ("distributorId", "siteId", "vesselKind", "vesselId") REFERENCES "Vessel"("distributorId", "siteId", "kind", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "StockLot" ADD CONSTRAINT "StockLot_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "StockLot" ADD CONSTRAINT "StockLot_distributorId_siteId_fkey" FOREIGN KEY ("distributorId", "siteId") REFERENCES "Site"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "StockLot" ADD CONSTRAINT "StockLot_distributorId_packId_fkey" FOREIGN KEY ("distributorId", "packId") REFERENCES "Pack"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "StockLot" ADD CONSTRAINT "StockLot_distributorId_batchId_fkey" FOREIGN KEY ("distributorId", "batchId") REFERENCES "Batch"("distributorId", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "Plan" ADD CONSTRAINT "Plan_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Plan" ADD CONSTRAINT "Plan_distributorId_baselineId_fkey" FOREIGN KEY ("distributorId", "baselineId") REFERENCES "Plan"("distributorId", "id") ON DELETE NO ACTION ON UPDATE NO ACTION;

-- AddForeignKey
ALTER TABLE "PlannedBrew" ADD CONSTRAINT "PlannedBrew_distributorId_planId_fkey" FOREIGN KEY ("distributorId", "planId") REFERENCES "Plan"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PlannedBrew" ADD CONSTRAINT "PlannedBrew_distributorId_beerId_fkey" FOREIGN KEY ("distributorId", "beerId") REFERENCES "Beer"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PlannedBrew" ADD CONSTRAINT "PlannedBrew_distributorId_siteId_vesselKind_vesselId_fkey" FOREIGN KEY ("distributorId", "siteId", "vesselKind", "vesselId") REFERENCES "Vessel"("distributorId", "siteId", "kind", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "PlannedTransfer" ADD CONSTRAINT "PlannedTransfer_distributorId_planId_fkey" FOREIGN KEY ("distributorId", "planId") REFERENCES "Plan"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PlannedTransfer" ADD CONSTRAINT "PlannedTransfer_distributorId_siteId_batchId_fkey" FOREIGN KEY ("distributorId", "siteId", "batchId") REFERENCES "Batch"("distributorId", "siteId", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "PlannedTransfer" ADD CONSTRAINT "PlannedTransfer_distributorId_planId_siteId_brewId_fkey" FOREIGN KEY ("distributorId", "planId", "siteId", "brewId") REFERENCES "PlannedBrew"("distributorId", "planId", "siteId", "id") ON DELETE CASCADE ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "PlannedTransfer" ADD CONSTRAINT "PlannedTransfer_distributorId_siteId_vesselKind_toVesselId_fkey" FOREIGN KEY ("distributorId", "siteId", "vesselKind", "toVesselId") REFERENCES "Vessel"("distributorId", "siteId", "kind", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "FillRun" ADD CONSTRAINT "FillRun_distributorId_planId_fkey" FOREIGN KEY ("distributorId", "planId") REFERENCES "Plan"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "FillRun" ADD CONSTRAINT "FillRun_distributorId_siteId_batchId_fkey" FOREIGN KEY ("distributorId", "siteId", "batchId") REFERENCES "Batch"("distributorId", "siteId", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "FillRun" ADD CONSTRAINT "FillRun_distributorId_planId_siteId_brewId_fkey" FOREIGN KEY ("distributorId", "planId", "siteId", "brewId") REFERENCES "PlannedBrew"("distributorId", "planId", "siteId", "id") ON DELETE CASCADE ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "FillRun" ADD CONSTRAINT "FillRun_distributorId_siteId_fillerId_fkey" FOREIGN KEY ("distributorId", "siteId", "fillerId") REFERENCES "Filler"("distributorId", "siteId", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "FillRun" ADD CONSTRAINT "FillRun_distributorId_packId_fkey" FOREIGN KEY ("distributorId", "packId") REFERENCES "Pack"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Delivery" ADD CONSTRAINT "Delivery_distributorId_planId_fkey" FOREIGN KEY ("distributorId", "planId") REFERENCES "Plan"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Delivery" ADD CONSTRAINT "Delivery_distributorId_orderLineId_fkey" FOREIGN KEY ("distributorId", "orderLineId") REFERENCES "OrderLine"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Delivery" ADD CONSTRAINT "Delivery_distributorId_siteId_routeId_fkey" FOREIGN KEY ("distributorId", "siteId", "routeId") REFERENCES "Route"("distributorId", "siteId", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "DeliverySource" ADD CONSTRAINT "DeliverySource_distributorId_planId_siteId_deliveryN_fkey" FOREIGN KEY ("distributorId", "planId", "siteId", "deliveryN") REFERENCES "Delivery"("distributorId", "planId", "siteId", "n") ON DELETE CASCADE ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "DeliverySource" ADD CONSTRAINT "DeliverySource_distributorId_planId_siteId_fillRunId_fkey" FOREIGN KEY ("distributorId", "planId", "siteId", "fillRunId") REFERENCES "FillRun"("distributorId", "planId", "siteId", "id") ON DELETE CASCADE ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "DeliverySource" ADD CONSTRAINT "DeliverySource_distributorId_siteId_stockLotId_fkey" FOREIGN KEY ("distributorId", "siteId", "stockLotId") REFERENCES "StockLot"("distributorId", "siteId", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "Dump" ADD CONSTRAINT "Dump_distributorId_planId_fkey" FOREIGN KEY ("distributorId", "planId") REFERENCES "Plan"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Dump" ADD CONSTRAINT "Dump_distributorId_siteId_batchId_fkey" FOREIGN KEY ("distributorId", "siteId", "batchId") REFERENCES "Batch"("distributorId", "siteId", "id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "Dump" ADD CONSTRAINT "Dump_distributorId_planId_siteId_brewId_fkey" FOREIGN KEY ("distributorId", "planId", "siteId", "brewId") REFERENCES "PlannedBrew"("distributorId", "planId", "siteId", "id") ON DELETE CASCADE ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "PlanVerdict" ADD CONSTRAINT "PlanVerdict_distributorId_planId_fkey" FOREIGN KEY ("distributorId", "planId") REFERENCES "Plan"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PlanVerdict" ADD CONSTRAINT "PlanVerdict_distributorId_orderLineId_fkey" FOREIGN KEY ("distributorId", "orderLineId") REFERENCES "OrderLine"("distributorId", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PlanMove" ADD CONSTRAINT "PlanMove_distributorId_planId_fkey" FOREIGN KEY ("distributorId", "planId") REFERENCES "Plan"("distributorId", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ApiKey" ADD CONSTRAINT "ApiKey_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ChangeLogEntry" ADD CONSTRAINT "ChangeLogEntry_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "IdempotencyKey" ADD CONSTRAINT "IdempotencyKey_distributorId_fkey" FOREIGN KEY ("distributorId") REFERENCES "Distributor"("id") ON DELETE RESTRICT ON UPDATE CASCADE;


