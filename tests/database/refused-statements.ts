// By constraint of the database: statements that it refuses, on the rows that never.test.ts saves.

const set = (table: string, change: string, where = 'TRUE') => `UPDATE "${table}" SET ${change} WHERE ${where}`

/** A new fact with a value that must not be: facts are never changed. */
function newFact(column: string, value: string): string {
  return `INSERT INTO "Fact" ("distributorId", "id", "number", "kind", "siteId", "on", "data", "contentHash", "saidBy", "revision", "recordedAt", ${column})
    SELECT 'd', 'f', 9999, 'READY', "id", '2027-03-01', '{}', '', 'K', 1, now(), ${value} FROM "Site" LIMIT 1`
}

/** A new entry of the ledger that must not be: entries are never changed. */
function newEntry(amount: number, to: string, columns = '', values = ''): string {
  return `INSERT INTO "LedgerEntry" ("distributorId", "revision", "n", "factId", "on", "rank", "recorded", "unit", "amount", "from", "to"${columns})
    VALUES ('d', 99, 1, 'f', '2027-03-01', 0, 1, 'CONTAINERS', ${amount}, 'OPENING', '${to}'${values})`
}

/** By constraint: statements that it refuses. */
export const REFUSED: Record<string, string[]> = {
  Distributor_name_check: [set('Distributor', `"name" = ' '`)],
  Distributor_revision_check: [set('Distributor', '"revision" = -1')],
  Distributor_horizonDays_check: [set('Distributor', '"horizonDays" = 0'), set('Distributor', '"horizonDays" = 4001')],
  Distributor_frozenDays_check: [set('Distributor', '"frozenDays" = -1')],
  Distributor_betterPlanSaving_check: [set('Distributor', '"betterPlanSaving" = 1.1')],
  Distributor_costs_check: [set('Distributor', `"costs" = '[]'`)],
  Distributor_offerKey_check: [
    set('Distributor', `"offerKey" = ''`),
    set('Distributor', `"offerKey" = repeat('A', 64)`),
    set('Distributor', `"offerKey" = repeat('a', 63)`),
  ],
  Site_name_check: [set('Site', `"name" = ''`)],
  Site_externalRef_check: [set('Site', `"externalRef" = ' '`, `"id" = (SELECT min("id") FROM "Site")`)],
  Site_brewWeekdays_check: [
    set('Site', '"brewWeekdays" = ARRAY[0]'),
    set('Site', '"brewWeekdays" = ARRAY[8]'),
    set('Site', '"brewWeekdays" = ARRAY[1, NULL]'),
    set('Site', '"brewWeekdays" = NULL'),
  ],
  Site_fillWeekdays_check: [set('Site', '"fillWeekdays" = ARRAY[1, 2, 3, 4, 5, 6, 7, 7]')],
  Site_brewsPerDay_check: [set('Site', '"brewsPerDay" = -1')],
  Site_transfersPerDay_check: [set('Site', '"transfersPerDay" = -1')],
  Site_brewLitres_check: [set('Site', '"brewLitres" = 0'), set('Site', `"brewLitres" = 'Infinity'`)],
  Site_brewEnds_check: [set('Site', `"brewEnds" = '24:00'`), set('Site', `"brewEnds" = '7:30'`)],
  Site_fillStarts_check: [set('Site', `"fillStarts" = '08:60'`), set('Site', `"fillStarts" = E'08:00\\n'`)],
  Vessel_name_check: [set('Vessel', `"name" = ''`)],
  Vessel_externalRef_check: [set('Vessel', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "Vessel")`)],
  Vessel_capacityLitres_check: [
    set('Vessel', '"capacityLitres" = 0, "minFillLitres" = 0'),
    set('Vessel', `"capacityLitres" = 'NaN'`),
  ],
  Vessel_minFillLitres_check: [
    set('Vessel', '"minFillLitres" = "capacityLitres" + 1'),
    set('Vessel', '"minFillLitres" = -1'),
  ],
  Vessel_turnaroundDays_check: [set('Vessel', '"turnaroundDays" = -1')],
  VesselOutage_span_check: [
    `INSERT INTO "VesselOutage" SELECT "distributorId", "id", '2027-03-02', '2027-03-01' FROM "Vessel"`,
  ],
  Beer_name_check: [set('Beer', `"name" = ''`)],
  Beer_externalRef_check: [set('Beer', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "Beer")`)],
  Beer_stages_check: ['fermentHours', 'restHours', 'dryHopHours', 'crashHours'].map((stage) =>
    set('Beer', `"${stage}" = -1`),
  ),
  Beer_days_check: ['maxTankDays', 'brightDays', 'maxBrightDays'].map((days) => set('Beer', `"${days}" = -1`)),
  Beer_maxOpenDays_check: [set('Beer', '"maxOpenDays" = -1')],
  Beer_lossFraction_check: [set('Beer', '"lossFraction" = 1'), set('Beer', '"lossFraction" = -0.01')],
  Beer_washGroup_check: [set('Beer', `"washGroup" = ''`)],
  Beer_setupWeight_check: [set('Beer', '"setupWeight" = -1')],
  Pack_name_check: [set('Pack', `"name" = ''`)],
  Pack_externalRef_check: [set('Pack', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "Pack")`)],
  Pack_days_check: ['conditioningDays', 'settleDays', 'shelfLifeDays'].map((days) => set('Pack', `"${days}" = -1`)),
  Pack_primingWindowDays_check: [set('Pack', '"primingWindowDays" = -1')],
  ContainerType_name_check: [set('ContainerType', `"name" = ''`)],
  ContainerType_externalRef_check: [
    set('ContainerType', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "ContainerType")`),
  ],
  ContainerType_nominalLitres_check: [set('ContainerType', '"nominalLitres" = 0')],
  ContainerType_overfillFraction_check: [
    set('ContainerType', '"overfillFraction" = 1.01'),
    set('ContainerType', '"overfillFraction" = -0.01'),
  ],
  Filler_name_check: [set('Filler', `"name" = ''`)],
  Filler_externalRef_check: [set('Filler', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "Filler")`)],
  Filler_minutesPerDay_check: [set('Filler', '"minutesPerDay" = -1')],
  Filler_setupMinutes_check: [set('Filler', '"setupMinutes" = -1')],
  Filler_washMinutes_check: [set('Filler', '"washMinutes" = -1')],
  Filler_setupLossLitres_check: [set('Filler', '"setupLossLitres" = -1')],
  FillerDay_minutes_check: [`INSERT INTO "FillerDay" SELECT "distributorId", "id", '2029-01-01', -1 FROM "Filler"`],
  FillerSetup_minutes_check: [
    `INSERT INTO "FillerSetup" SELECT f."distributorId", f."id", b."id", -1 FROM "Filler" f, "Beer" b`,
  ],
  FillerRate_minutesEach_check: [set('FillerRate', '"minutesEach" = -1')],
  Fleet_externalRef_check: [set('Fleet', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "Fleet")`)],
  Fleet_cleanNow_check: [set('Fleet', '"cleanNow" = -1')],
  Fleet_washDays_check: [set('Fleet', '"washDays" = -1')],
  FleetReturn_quantity_check: [`INSERT INTO "FleetReturn" SELECT "distributorId", "id", '2029-01-01', 0 FROM "Fleet"`],
  Store_name_check: [set('Store', `"name" = ''`)],
  Store_externalRef_check: [set('Store', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "Store")`)],
  Store_capacityLitres_check: [set('Store', '"capacityLitres" = -1')],
  Route_name_check: [set('Route', `"name" = ''`)],
  Route_externalRef_check: [set('Route', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "Route")`)],
  Route_weekdays_check: [set('Route', '"weekdays" = ARRAY[0]')],
  Route_transitDays_check: [set('Route', '"transitDays" = -1')],
  Route_cutOff_check: [
    set('Route', '"cutOffAt" = NULL, "cutOffDaysBefore" = 1'),
    set('Route', `"cutOffAt" = '15:00', "cutOffDaysBefore" = NULL`),
  ],
  Route_cutOffDaysBefore_check: [
    set('Route', `"cutOffAt" = '15:00', "cutOffDaysBefore" = -1`),
    set('Route', `"cutOffAt" = '15:00', "cutOffDaysBefore" = 61`),
  ],
  Route_cutOffAt_check: [set('Route', `"cutOffDaysBefore" = 1, "cutOffAt" = '24:00'`)],
  Route_capacityLitres_check: [set('Route', '"capacityLitres" = -1')],
  Account_name_check: [set('Account', `"name" = ''`)],
  Account_externalRef_check: [set('Account', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "Account")`)],
  Account_receivesWeekdays_check: [set('Account', '"receivesWeekdays" = ARRAY[8]')],
  Account_days_check: [set('Account', '"minDaysOnSale" = -1'), set('Account', '"maxEarlyDays" = -1')],
  Account_settleDays_check: [set('Account', '"settleDays" = -1')],
  Account_returnDays_check: [set('Account', '"returnDays" = -1')],
  Order_externalRef_check: [set('Order', `"externalRef" = ''`, '"number" = 1')],
  Order_number_check: [set('Order', '"number" = 0', '"number" = 1')],
  Order_cancelledAt_check: [set('Order', '"cancelledAt" = now()'), set('Order', `"status" = 'CANCELLED'`)],
  Reservation_externalRef_check: [set('Reservation', `"externalRef" = ' '`)],
  Reservation_expiresAt_check: [set('Reservation', '"expiresAt" = "madeAt"')],
  Reservation_endedAt_check: [
    set('Reservation', '"endedAt" = "expiresAt"'),
    set('Reservation', `"status" = 'EXPIRED'`),
    set('Reservation', `"status" = 'RELEASED', "endedAt" = "madeAt" - interval '1 second'`),
  ],
  OrderLine_reserved_check: [set('OrderLine', `"status" = 'RESERVED', "promisedOn" = NULL`)],
  OrderLine_externalRef_check: [set('OrderLine', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "OrderLine")`)],
  OrderLine_lineNumber_check: [set('OrderLine', '"lineNumber" = 0', '"lineNumber" = 1')],
  OrderLine_quantity_check: [set('OrderLine', '"quantity" = 0'), set('OrderLine', '"quantity" = 1000001')],
  Site_dayEnds_check: [`UPDATE "Site" SET "dayEnds" = '25:00'`],
  Site_number_check: ['UPDATE "Site" SET "number" = 36'],
  Beer_finalGravity_check: ['UPDATE "Beer" SET "finalGravity" = 1.5'],
  Beer_gravityTolerance_check: ['UPDATE "Beer" SET "gravityTolerance" = -0.001'],
  Fact_reference_check: [newFact('"reference"', "' '")],
  Fact_withdraws_check: [newFact('"withdraws"', 'true')],
  Fact_due_check: [newFact('"due"', 'true')],
  LedgerEntry_amount_check: [newEntry(-1, 'CLEAN|s|t')],
  LedgerEntry_places_check: [newEntry(1, 'OPENING')],
  LedgerEntry_setsTo_check: [newEntry(1, 'CLEAN|s|t', ', "setsTo"', ', -1')],
  LedgerEntry_reverses_check: [newEntry(1, 'CLEAN|s|t', ', "reversesN"', ', 1')],
  OrderLine_closedShort_check: ['UPDATE "OrderLine" SET "closedShort" = "quantity" + 1 - "dispatched"'],
  OrderLine_onRoad_check: [set('OrderLine', '"onRoad" = -1')],
  OrderLine_delivered_check: [set('OrderLine', '"delivered" = -1'), set('OrderLine', '"delivered" = "dispatched" + 1')],
  OrderLine_latestServeOn_check: [set('OrderLine', '"latestServeOn" = "serveOn" - 1')],
  OrderLine_priority_check: [set('OrderLine', '"priority" = 0'), set('OrderLine', '"priority" = 4')],
  Batch_externalRef_check: [set('Batch', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "Batch")`)],
  Batch_code_check: [set('Batch', `"code" = ''`, `"id" = (SELECT min("id") FROM "Batch")`)],
  Batch_litres_check: ['UPDATE "Batch" SET "litres" = -1'],
  Batch_transferredOn_check: [
    set('Batch', `"transferredOn" = '2027-02-01'`, `"vesselKind" = 'FERMENTER'`),
    set('Batch', '"transferredOn" = NULL', `"vesselKind" = 'BRIGHT'`),
  ],
  Batch_openedOn_check: [set('Batch', '"openedOn" = "transferredOn" - 1', '"transferredOn" IS NOT NULL')],
  Batch_one_in_a_vessel: [
    `INSERT INTO "Batch" ("distributorId", "id", "code", "beerId", "siteId", "vesselId", "vesselKind", "litres", "readyAt", "transferredOn")
     SELECT "distributorId", 'second', 'second', "beerId", "siteId", "vesselId", "vesselKind", 1, now(), "transferredOn" FROM "Batch" LIMIT 1`,
  ],
  StockLot_externalRef_check: [set('StockLot', `"externalRef" = ''`, `"id" = (SELECT min("id") FROM "StockLot")`)],
  StockLot_code_check: [set('StockLot', `"code" = ' '`, `"id" = (SELECT min("id") FROM "StockLot")`)],
  StockLot_quantity_check: [set('StockLot', '"quantity" = -1')],
  StockLot_days_check: [
    set('StockLot', '"readyOn" = "filledOn" - 1'),
    set('StockLot', '"bestBefore" = "filledOn" - 1'),
  ],
  Plan_horizon_check: [set('Plan', '"horizonDays" = 0'), set('Plan', '"frozenDays" = -1')],
  Plan_fromRevision_check: [set('Plan', '"fromRevision" = -1')],
  Plan_steps_check: [set('Plan', '"steps" = -1')],
  Plan_gap_check: [set('Plan', '"gap" = 1.1'), set('Plan', '"gap" = -0.1')],
  Plan_bound_check: [set('Plan', '"lowerBound" = 1'), set('Plan', `"boundKind" = 'LINES'`)],
  Plan_cost_check: [set('Plan', `"costTerms" = NULL`)],
  Plan_solved_check: [
    set('Plan', '"solvedAt" = NULL'),
    set('Plan', `"status" = 'DRAFT', "adoptedAt" = NULL, "costTotal" = NULL, "costTerms" = NULL`),
  ],
  Plan_adoptedAt_check: [set('Plan', '"adoptedAt" = NULL'), set('Plan', `"status" = 'DRAFT'`)],
  Plan_replacedAt_check: [set('Plan', `"status" = 'PAST'`), set('Plan', '"replacedAt" = now()')],
  Plan_failure_check: [set('Plan', `"status" = 'FAILED', "adoptedAt" = NULL`), set('Plan', `"failure" = '{}'`)],
  Plan_without_check: [set('Plan', `"without" = '{}'`)],
  Comparison_scenarios_check: [set('Comparison', `"scenarios" = '[]'`), set('Comparison', `"scenarios" = '{}'`)],
  Comparison_failure_check: [set('Comparison', `"failure" = '{}'`)],
  Comparison_solvedAt_check: [set('Comparison', '"solvedAt" = now()')],
  NewPlanSearch_question_check: [set('NewPlanSearch', `"question" = 'q'`)],
  NewPlanSearch_revision_check: [set('NewPlanSearch', '"atRevision" = -1'), set('NewPlanSearch', '"fromRevision" = 0')],
  NewPlanSearch_result_check: [
    set('NewPlanSearch', `"status" = 'NONE', "solvedAt" = now()`),
    set('NewPlanSearch', `"result" = '{}', "fromRevision" = 1`),
  ],
  NewPlanSearch_failure_check: [set('NewPlanSearch', `"failure" = '{}'`)],
  NewPlanSearch_solvedAt_check: [set('NewPlanSearch', '"solvedAt" = now()')],
  Job_kind_check: [set('Job', `"kind" = ' '`), set('Job', `"key" = ''`)],
  Job_attempts_check: [set('Job', '"attempts" = -1'), set('Job', '"attempts" = "mostAttempts" + 1')],
  Job_seconds_check: [set('Job', '"seconds" = -1'), set('Job', `"seconds" = 'Infinity'`)],
  Job_lease_check: [
    set('Job', `"state" = 'RUNNING'`),
    set('Job', `"state" = 'RUNNING', "leaseToken" = 't'`),
    set('Job', `"leaseUntil" = now()`),
  ],
  Job_ended_check: [
    set('Job', `"state" = 'DONE', "payload" = NULL`),
    set('Job', `"state" = 'DONE', "finishedAt" = now()`),
    set('Job', '"payload" = NULL'),
  ],
  Job_failure_check: [
    set('Job', `"failure" = 'It failed.'`),
    set('Job', `"state" = 'FAILED', "finishedAt" = now(), "payload" = NULL`),
  ],
  Job_one_waiting: [
    `INSERT INTO "Job" SELECT (x."job").* FROM (SELECT json_populate_record(j, '{"id": "another"}') AS "job" FROM "Job" j) x`,
  ],
  Plan_baselineId_check: [set('Plan', '"baselineId" = "id"')],
  Plan_one_in_force: [
    `INSERT INTO "Plan" SELECT (jsonb_populate_record(p, '{"id": "another"}')).* FROM "Plan" p WHERE "status" = 'IN_FORCE'`,
  ],
  PlannedBrew_litres_check: [set('PlannedBrew', '"litres" = 0')],
  PlannedBrew_vesselKind_check: [set('PlannedBrew', `"vesselKind" = 'BRIGHT'`)],
  PlannedTransfer_litres_check: [set('PlannedTransfer', '"litres" = 0')],
  PlannedTransfer_vesselKind_check: [set('PlannedTransfer', `"vesselKind" = 'FERMENTER'`)],
  PlannedTransfer_batch_check: [
    set('PlannedTransfer', '"batchId" = NULL, "brewId" = NULL'),
    set('PlannedTransfer', `"batchId" = 'x', "brewId" = 'x'`),
  ],
  FillRun_quantity_check: [set('FillRun', '"quantity" = 0')],
  FillRun_batch_check: [set('FillRun', '"batchId" = NULL, "brewId" = NULL')],
  Delivery_n_check: [set('Delivery', '"n" = 0', '"n" = 1')],
  Delivery_days_check: [set('Delivery', '"serveOn" = "dispatchOn" - 1')],
  DeliverySource_n_check: [set('DeliverySource', '"n" = 0', '"n" = 1')],
  DeliverySource_quantity_check: [set('DeliverySource', '"quantity" = 0')],
  DeliverySource_source_check: [
    set('DeliverySource', '"fillRunId" = NULL, "stockLotId" = NULL'),
    set('DeliverySource', `"fillRunId" = 'x', "stockLotId" = 'x'`),
  ],
  // Both constraint triggers report under this name: a delivery that is written without a source, and one that loses it.
  Delivery_source_check: [
    `INSERT INTO "Delivery" SELECT (jsonb_populate_record(x, '{"n": 999999}')).* FROM "Delivery" x WHERE "n" = 1`,
    'DELETE FROM "DeliverySource" WHERE "deliveryN" = 1',
    `UPDATE "DeliverySource" SET "deliveryN" = 2, "n" = "n" + 100 WHERE "deliveryN" = 1`,
  ],
  Dump_n_check: [set('Dump', '"n" = 0', '"n" = 1')],
  Dump_litres_check: [set('Dump', '"litres" = 0')],
  Dump_batch_check: [set('Dump', '"batchId" = NULL, "brewId" = NULL')],
  PlanVerdict_quantity_check: [
    set('PlanVerdict', '"quantity" = NULL', `"kind" = 'UNSERVED'`),
    set('PlanVerdict', '"quantity" = 0', `"kind" = 'UNSERVED'`),
    set('PlanVerdict', '"quantity" = 1', `"kind" = 'LATE'`),
  ],
  PlanVerdict_promise_check: [
    set('PlanVerdict', '"promisedOn" = NULL', `"kind" = 'BROKEN_PROMISE'`),
    set('PlanVerdict', `"now" = '2027-03-01'`, `"kind" = 'LATE'`),
  ],
  PlanVerdict_reasons_check: [set('PlanVerdict', `"reasons" = '{}'`)],
  PlanMove_reasons_check: [set('PlanMove', `"reasons" = '{}'`)],
  ApiKey_name_check: [set('ApiKey', `"name" = ''`)],
  ApiKey_hash_check: [set('ApiKey', `"hash" = 'the key itself'`)],
  ApiKey_scopes_check: [set('ApiKey', `"scopes" = '{}'`), set('ApiKey', '"scopes" = NULL')],
  ChangeLogEntry_number_check: [set('ChangeLogEntry', '"n" = 0'), set('ChangeLogEntry', '"revision" = 0')],
  ChangeLogEntry_content_check: [set('ChangeLogEntry', '"before" = NULL, "after" = NULL')],
  IdempotencyKey_payloadHash_check: [set('IdempotencyKey', `"payloadHash" = 'x'`)],
}

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
