// By foreign key of the database: statements that it refuses because things of two sites would be one.
import { set } from './set-statement.ts'

/** Things at two sites that must stand at one, and vessels of the wrong kind: foreign keys that carry the site. */
export const ELSEWHERE: Record<string, string> = {
  Batch_distributorId_siteId_vesselKind_vesselId_fkey: set(
    'Batch',
    `"vesselId" = (SELECT min(v."id") FROM "Vessel" v WHERE v."siteId" <> "Batch"."siteId" AND v."kind" = "Batch"."vesselKind"
       AND NOT EXISTS (SELECT FROM "Batch" b WHERE b."vesselId" = v."id"))`,
    `"id" = (SELECT min("id") FROM "Batch" WHERE "vesselKind" = 'FERMENTER')`,
  ),
  PlannedBrew_distributorId_siteId_vesselKind_vesselId_fkey: set(
    'PlannedBrew',
    `"vesselId" = (SELECT min(v."id") FROM "Vessel" v WHERE v."siteId" <> "PlannedBrew"."siteId" AND v."kind" = 'FERMENTER')`,
  ),
  PlannedTransfer_distributorId_siteId_vesselKind_toVesselId_fkey: set(
    'PlannedTransfer',
    `"toVesselId" = (SELECT min("id") FROM "Vessel" WHERE "kind" = 'FERMENTER')`,
  ),
  FillRun_distributorId_siteId_fillerId_fkey: set(
    'FillRun',
    `"fillerId" = (SELECT min(f."id") FROM "Filler" f WHERE f."siteId" <> "FillRun"."siteId")`,
  ),
  FillRun_distributorId_siteId_batchId_fkey: set(
    'FillRun',
    `"batchId" = (SELECT min(b."id") FROM "Batch" b WHERE b."siteId" <> "FillRun"."siteId")`,
    '"batchId" IS NOT NULL',
  ),
  Delivery_distributorId_siteId_routeId_fkey: set(
    'Delivery',
    `"routeId" = (SELECT min(r."id") FROM "Route" r WHERE r."siteId" <> "Delivery"."siteId")`,
  ),
  DeliverySource_distributorId_siteId_stockLotId_fkey: set(
    'DeliverySource',
    `"stockLotId" = (SELECT min(l."id") FROM "StockLot" l WHERE l."siteId" <> "DeliverySource"."siteId")`,
    '"stockLotId" IS NOT NULL',
  ),
  DeliverySource_distributorId_planId_siteId_fillRunId_fkey: set(
    'DeliverySource',
    `"fillRunId" = (SELECT min(r."id") FROM "FillRun" r WHERE r."siteId" <> "DeliverySource"."siteId")`,
    '"fillRunId" IS NOT NULL',
  ),
}
