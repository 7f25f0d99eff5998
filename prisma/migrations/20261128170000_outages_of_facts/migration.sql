-- A span out of service that a fact said stands beside those of the set-up, and goes with its fact.
ALTER TABLE "VesselOutage" ADD COLUMN "factId" TEXT NOT NULL DEFAULT '';
ALTER TABLE "VesselOutage" DROP CONSTRAINT "VesselOutage_pkey";
ALTER TABLE "VesselOutage" ADD CONSTRAINT "VesselOutage_pkey" PRIMARY KEY ("distributorId", "vesselId", "from", "factId");
UPDATE "VesselOutage" o SET "factId" = f."id"
FROM "Fact" f JOIN "FactSubject" s ON s."distributorId" = f."distributorId" AND s."factId" = f."id" AND s."kind" = 'VESSEL'
WHERE f."distributorId" = o."distributorId" AND s."subjectId" = o."vesselId" AND f."kind" = 'VESSEL_OUT'
  AND f."on" = o."from" AND f."replacedById" IS NULL AND NOT f."withdraws";
