-- What must never be, whoever writes. The parsers say the same in kinder words; this holds when they are passed by.
-- Not a number and infinity are no quantities: they fail every "< 'Infinity'" below.

-- ---- values ---------------------------------------------------------------------------------------------------

CREATE FUNCTION are_weekdays(days INTEGER[]) RETURNS BOOLEAN LANGUAGE sql IMMUTABLE AS $$
  SELECT days IS NOT NULL AND days <@ ARRAY[1, 2, 3, 4, 5, 6, 7] AND cardinality(days) <= 7
$$;

CREATE FUNCTION is_amount(amount DOUBLE PRECISION) RETURNS BOOLEAN LANGUAGE sql IMMUTABLE AS $$
  SELECT amount >= 0 AND amount < 'Infinity'
$$;

CREATE FUNCTION is_time_of_day(text TEXT) RETURNS BOOLEAN LANGUAGE sql IMMUTABLE AS $$
  SELECT text ~ '^([01][0-9]|2[0-3]):[0-5][0-9]$'
$$;

CREATE FUNCTION is_name(text TEXT) RETURNS BOOLEAN LANGUAGE sql IMMUTABLE AS $$
  SELECT btrim(text) <> ''
$$;

-- ---- the distributor and its set-up ---------------------------------------------------------------------------

ALTER TABLE "Distributor"
  ADD CONSTRAINT "Distributor_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "Distributor_revision_check" CHECK ("revision" >= 0),
  ADD CONSTRAINT "Distributor_horizonDays_check" CHECK ("horizonDays" BETWEEN 1 AND 4000),
  ADD CONSTRAINT "Distributor_frozenDays_check" CHECK ("frozenDays" >= 0),
  ADD CONSTRAINT "Distributor_costs_check" CHECK (jsonb_typeof("costs") = 'object');

ALTER TABLE "Site"
  ADD CONSTRAINT "Site_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "Site_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Site_brewWeekdays_check" CHECK (are_weekdays("brewWeekdays")),
  ADD CONSTRAINT "Site_fillWeekdays_check" CHECK (are_weekdays("fillWeekdays")),
  ADD CONSTRAINT "Site_brewsPerDay_check" CHECK ("brewsPerDay" >= 0),
  ADD CONSTRAINT "Site_brewLitres_check" CHECK (is_amount("brewLitres") AND "brewLitres" > 0),
  ADD CONSTRAINT "Site_brewEnds_check" CHECK (is_time_of_day("brewEnds")),
  ADD CONSTRAINT "Site_fillStarts_check" CHECK (is_time_of_day("fillStarts"));

ALTER TABLE "Vessel"
  ADD CONSTRAINT "Vessel_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "Vessel_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Vessel_capacityLitres_check" CHECK (is_amount("capacityLitres") AND "capacityLitres" > 0),
  ADD CONSTRAINT "Vessel_minFillLitres_check" CHECK (is_amount("minFillLitres") AND "minFillLitres" <= "capacityLitres"),
  ADD CONSTRAINT "Vessel_turnaroundDays_check" CHECK ("turnaroundDays" >= 0);

ALTER TABLE "VesselOutage"
  ADD CONSTRAINT "VesselOutage_span_check" CHECK ("from" <= "to");

ALTER TABLE "Beer"
  ADD CONSTRAINT "Beer_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "Beer_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Beer_stages_check" CHECK (is_amount("fermentHours") AND is_amount("restHours") AND is_amount("dryHopHours") AND is_amount("crashHours")),
  ADD CONSTRAINT "Beer_days_check" CHECK ("maxTankDays" >= 0 AND "brightDays" >= 0 AND "maxBrightDays" >= 0),
  ADD CONSTRAINT "Beer_maxOpenDays_check" CHECK ("maxOpenDays" >= 0),
  ADD CONSTRAINT "Beer_lossFraction_check" CHECK ("lossFraction" >= 0 AND "lossFraction" < 1),
  ADD CONSTRAINT "Beer_setupWeight_check" CHECK (is_amount("setupWeight"));

ALTER TABLE "Pack"
  ADD CONSTRAINT "Pack_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "Pack_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Pack_days_check" CHECK ("conditioningDays" >= 0 AND "settleDays" >= 0 AND "shelfLifeDays" >= 0),
  ADD CONSTRAINT "Pack_primingWindowDays_check" CHECK ("primingWindowDays" >= 0);

ALTER TABLE "ContainerType"
  ADD CONSTRAINT "ContainerType_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "ContainerType_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "ContainerType_nominalLitres_check" CHECK (is_amount("nominalLitres") AND "nominalLitres" > 0),
  ADD CONSTRAINT "ContainerType_overfillFraction_check" CHECK ("overfillFraction" BETWEEN 0 AND 1);

ALTER TABLE "Filler"
  ADD CONSTRAINT "Filler_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "Filler_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Filler_minutesPerDay_check" CHECK (is_amount("minutesPerDay")),
  ADD CONSTRAINT "Filler_setupMinutes_check" CHECK (is_amount("setupMinutes")),
  ADD CONSTRAINT "Filler_setupLossLitres_check" CHECK (is_amount("setupLossLitres"));

ALTER TABLE "FillerDay" ADD CONSTRAINT "FillerDay_minutes_check" CHECK (is_amount("minutes"));
ALTER TABLE "FillerSetup" ADD CONSTRAINT "FillerSetup_minutes_check" CHECK (is_amount("minutes"));
ALTER TABLE "FillerRate" ADD CONSTRAINT "FillerRate_minutesEach_check" CHECK (is_amount("minutesEach"));

ALTER TABLE "Fleet"
  ADD CONSTRAINT "Fleet_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Fleet_cleanNow_check" CHECK ("cleanNow" >= 0),
  ADD CONSTRAINT "Fleet_washDays_check" CHECK ("washDays" >= 0);

ALTER TABLE "FleetReturn" ADD CONSTRAINT "FleetReturn_quantity_check" CHECK ("quantity" > 0);

ALTER TABLE "Store"
  ADD CONSTRAINT "Store_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "Store_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Store_capacityLitres_check" CHECK (is_amount("capacityLitres"));

ALTER TABLE "Route"
  ADD CONSTRAINT "Route_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "Route_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Route_weekdays_check" CHECK (are_weekdays("weekdays")),
  ADD CONSTRAINT "Route_transitDays_check" CHECK ("transitDays" >= 0),
  ADD CONSTRAINT "Route_capacityLitres_check" CHECK (is_amount("capacityLitres"));

ALTER TABLE "Account"
  ADD CONSTRAINT "Account_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "Account_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Account_receivesWeekdays_check" CHECK (are_weekdays("receivesWeekdays")),
  ADD CONSTRAINT "Account_days_check" CHECK ("minDaysOnSale" >= 0 AND "maxEarlyDays" >= 0),
  ADD CONSTRAINT "Account_settleDays_check" CHECK ("settleDays" >= 0),
  ADD CONSTRAINT "Account_returnDays_check" CHECK ("returnDays" >= 0);

-- ---- orders ---------------------------------------------------------------------------------------------------

ALTER TABLE "Order"
  ADD CONSTRAINT "Order_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Order_number_check" CHECK ("number" > 0),
  ADD CONSTRAINT "Order_cancelledAt_check" CHECK (("status" = 'CANCELLED') = ("cancelledAt" IS NOT NULL));

ALTER TABLE "OrderLine"
  ADD CONSTRAINT "OrderLine_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "OrderLine_lineNumber_check" CHECK ("lineNumber" > 0),
  ADD CONSTRAINT "OrderLine_quantity_check" CHECK ("quantity" BETWEEN 1 AND 1000000),
  ADD CONSTRAINT "OrderLine_latestServeOn_check" CHECK ("latestServeOn" >= "serveOn"),
  ADD CONSTRAINT "OrderLine_priority_check" CHECK ("priority" BETWEEN 1 AND 3);

-- ---- beer that exists -----------------------------------------------------------------------------------------

ALTER TABLE "Batch"
  ADD CONSTRAINT "Batch_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Batch_code_check" CHECK (is_name("code")),
  ADD CONSTRAINT "Batch_litres_check" CHECK (is_amount("litres") AND ("litres" > 0 OR "emptiedOn" IS NOT NULL)),
  ADD CONSTRAINT "Batch_transferredOn_check" CHECK (("vesselKind" = 'BRIGHT') = ("transferredOn" IS NOT NULL)),
  ADD CONSTRAINT "Batch_openedOn_check" CHECK ("openedOn" >= "transferredOn");

-- V3: a vessel holds one batch at a time.
CREATE UNIQUE INDEX "Batch_one_in_a_vessel" ON "Batch" ("distributorId", "vesselId") WHERE "emptiedOn" IS NULL;

ALTER TABLE "StockLot"
  ADD CONSTRAINT "StockLot_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "StockLot_code_check" CHECK (is_name("code")),
  ADD CONSTRAINT "StockLot_quantity_check" CHECK ("quantity" >= 0),
  ADD CONSTRAINT "StockLot_days_check" CHECK ("readyOn" >= "filledOn" AND "bestBefore" >= "filledOn");

-- ---- plans ----------------------------------------------------------------------------------------------------

ALTER TABLE "Plan"
  ADD CONSTRAINT "Plan_horizon_check" CHECK ("horizonDays" BETWEEN 1 AND 4000 AND "frozenDays" >= 0),
  ADD CONSTRAINT "Plan_fromRevision_check" CHECK ("fromRevision" >= 0),
  ADD CONSTRAINT "Plan_steps_check" CHECK ("steps" >= 0),
  ADD CONSTRAINT "Plan_gap_check" CHECK ("gap" BETWEEN 0 AND 1),
  ADD CONSTRAINT "Plan_bound_check" CHECK (("lowerBound" IS NULL) = ("boundKind" IS NULL)),
  ADD CONSTRAINT "Plan_cost_check" CHECK (("costTotal" IS NULL) = ("costTerms" IS NULL)),
  ADD CONSTRAINT "Plan_solved_check" CHECK ("status" NOT IN ('DRAFT', 'IN_FORCE', 'PAST') OR ("costTotal" IS NOT NULL AND "solvedAt" IS NOT NULL)),
  ADD CONSTRAINT "Plan_adoptedAt_check" CHECK (("status" IN ('IN_FORCE', 'PAST')) = ("adoptedAt" IS NOT NULL)),
  ADD CONSTRAINT "Plan_replacedAt_check" CHECK (("status" = 'PAST') = ("replacedAt" IS NOT NULL)),
  ADD CONSTRAINT "Plan_failure_check" CHECK (("status" = 'FAILED') = ("failure" IS NOT NULL)),
  ADD CONSTRAINT "Plan_baselineId_check" CHECK ("baselineId" <> "id");

CREATE UNIQUE INDEX "Plan_one_in_force" ON "Plan" ("distributorId") WHERE "status" = 'IN_FORCE';

ALTER TABLE "PlannedBrew"
  ADD CONSTRAINT "PlannedBrew_litres_check" CHECK (is_amount("litres") AND "litres" > 0),
  ADD CONSTRAINT "PlannedBrew_vesselKind_check" CHECK ("vesselKind" = 'FERMENTER');

ALTER TABLE "PlannedTransfer"
  ADD CONSTRAINT "PlannedTransfer_litres_check" CHECK (is_amount("litres") AND "litres" > 0),
  ADD CONSTRAINT "PlannedTransfer_vesselKind_check" CHECK ("vesselKind" = 'BRIGHT'),
  ADD CONSTRAINT "PlannedTransfer_batch_check" CHECK (num_nonnulls("batchId", "brewId") = 1);

ALTER TABLE "FillRun"
  ADD CONSTRAINT "FillRun_quantity_check" CHECK ("quantity" > 0),
  ADD CONSTRAINT "FillRun_batch_check" CHECK (num_nonnulls("batchId", "brewId") = 1);

ALTER TABLE "Delivery"
  ADD CONSTRAINT "Delivery_n_check" CHECK ("n" > 0),
  ADD CONSTRAINT "Delivery_days_check" CHECK ("serveOn" >= "dispatchOn");

ALTER TABLE "DeliverySource"
  ADD CONSTRAINT "DeliverySource_n_check" CHECK ("n" > 0),
  ADD CONSTRAINT "DeliverySource_quantity_check" CHECK ("quantity" > 0),
  ADD CONSTRAINT "DeliverySource_source_check" CHECK (num_nonnulls("fillRunId", "stockLotId") = 1);

ALTER TABLE "Dump"
  ADD CONSTRAINT "Dump_n_check" CHECK ("n" > 0),
  ADD CONSTRAINT "Dump_litres_check" CHECK (is_amount("litres") AND "litres" > 0),
  ADD CONSTRAINT "Dump_batch_check" CHECK (num_nonnulls("batchId", "brewId") = 1);

ALTER TABLE "PlanVerdict"
  ADD CONSTRAINT "PlanVerdict_quantity_check" CHECK (("kind" = 'UNSERVED') = ("quantity" IS NOT NULL) AND "quantity" > 0),
  ADD CONSTRAINT "PlanVerdict_promise_check" CHECK (("kind" = 'BROKEN_PROMISE') = ("promisedOn" IS NOT NULL) AND ("now" IS NULL OR "kind" = 'BROKEN_PROMISE')),
  ADD CONSTRAINT "PlanVerdict_reasons_check" CHECK (jsonb_typeof("reasons") = 'array');

ALTER TABLE "PlanMove" ADD CONSTRAINT "PlanMove_reasons_check" CHECK (jsonb_typeof("reasons") = 'array');

-- A delivery takes from something. Looked at when the transaction commits, since a delivery is written before its sources.
CREATE FUNCTION refuse_sourceless_delivery(distributor TEXT, plan TEXT, delivery INTEGER) RETURNS VOID LANGUAGE plpgsql AS $$
BEGIN
  IF EXISTS (SELECT FROM "Delivery" WHERE "distributorId" = distributor AND "planId" = plan AND "n" = delivery)
    AND NOT EXISTS (SELECT FROM "DeliverySource" WHERE "distributorId" = distributor AND "planId" = plan AND "deliveryN" = delivery)
  THEN
    RAISE EXCEPTION 'delivery % of plan % takes from nothing', delivery, plan
      USING ERRCODE = 'check_violation', CONSTRAINT = 'Delivery_source_check', TABLE = 'Delivery';
  END IF;
END
$$;

CREATE FUNCTION check_delivery() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  PERFORM refuse_sourceless_delivery(NEW."distributorId", NEW."planId", NEW."n");
  RETURN NULL;
END
$$;

CREATE FUNCTION check_delivery_source() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  PERFORM refuse_sourceless_delivery(OLD."distributorId", OLD."planId", OLD."deliveryN");
  RETURN NULL;
END
$$;

CREATE CONSTRAINT TRIGGER "Delivery_has_source" AFTER INSERT OR UPDATE ON "Delivery"
  DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION check_delivery();
CREATE CONSTRAINT TRIGGER "DeliverySource_leaves_source" AFTER UPDATE OR DELETE ON "DeliverySource"
  DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION check_delivery_source();

-- ---- access and history ---------------------------------------------------------------------------------------

ALTER TABLE "ApiKey"
  ADD CONSTRAINT "ApiKey_name_check" CHECK (is_name("name")),
  ADD CONSTRAINT "ApiKey_hash_check" CHECK ("hash" ~ '^[0-9a-f]{64}$'),
  ADD CONSTRAINT "ApiKey_scopes_check" CHECK (cardinality(coalesce("scopes", '{}')) > 0);

ALTER TABLE "ChangeLogEntry"
  ADD CONSTRAINT "ChangeLogEntry_number_check" CHECK ("revision" > 0 AND "n" > 0),
  ADD CONSTRAINT "ChangeLogEntry_content_check" CHECK (num_nonnulls("before", "after") > 0);

ALTER TABLE "IdempotencyKey"
  ADD CONSTRAINT "IdempotencyKey_payloadHash_check" CHECK ("payloadHash" ~ '^[0-9a-f]{64}$');
