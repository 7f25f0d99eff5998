-- Reasons are data: a code and params in place of an English sentence. A sentence that is not known stays as it is, as the
-- words of a reason AS_RECORDED; rule, resource, days and relief of every reason stay. (20261128070000)

-- What the planner has said so far: a pattern of the sentence, its code, the params that the groups of the pattern hold, and
-- the param that repeats the resource, where its kind is the one that is given.
CREATE TABLE "_said" ("pattern" TEXT, "code" TEXT, "params" TEXT[], "kind" TEXT, "ofResource" TEXT);
INSERT INTO "_said" VALUES
  ('The plan is frozen on the days on which this would have to be filled', 'DAYS_FROZEN', '{}', NULL, NULL),
  ('Within the frozen days a promised line is not brought forward, and no later day is left by its promise', 'PROMISE_NOT_FORWARD', '{}', 'ACCOUNT', 'accountId'),
  ('The beer is not ready in time: fermenting, .*', 'NOT_READY_IN_TIME', '{}', 'BEER', 'beerId'),
  ('The beer at hand is quarantined', 'BEER_QUARANTINED', '{}', 'BEER', 'beerId'),
  ('The beer at hand is too old or not fit for priming; a primed cask needs live yeast', 'NOT_FIT_FOR_PRIMING', '{}', 'PACK', 'packId'),
  ('The brewhouse has no brew left on the days on which this beer would have to be brewed', 'NO_BREW_LEFT', '{}', NULL, NULL),
  ('The site starts no more transfers on the days on which this beer would have to be moved to a bright vessel', 'NO_TRANSFER_LEFT', '{}', NULL, NULL),
  ('No vessel is free in time for a brew of this beer; the beer at hand is spoken for', 'NO_VESSEL_FREE', '{}', 'BEER', 'beerId'),
  ('The store has no room for the containers until they can leave', 'NO_STORE_ROOM', '{}', NULL, NULL),
  ('The route''s load is full on the days on which this must leave', 'NO_ROUTE_ROOM', '{}', NULL, NULL),
  ('The order comes after the cut-off of every route day that would bring it in time', 'AFTER_CUT_OFF', '{}', NULL, NULL),
  ('There are not enough clean containers of this type in time', 'NO_CLEAN_CONTAINERS', '{}', 'CONTAINER_TYPE', 'containerTypeId'),
  ('Washing the filler between groups of beers leaves too few minutes on the days on which this must be filled', 'NO_MINUTES_TO_WASH', '{}', NULL, NULL),
  ('The filler has no minutes left on the days on which this must be filled', 'NO_FILLER_MINUTES', '{}', NULL, NULL),
  ('The account is on no route', 'ON_NO_ROUTE', '{}', 'ACCOUNT', 'accountId'),
  ('None of the account''s routes runs in time to arrive and settle before the serve day', 'NO_ROUTE_IN_TIME', '{}', NULL, NULL),
  ('No day is left on which this could be filled: conditioning, .*', 'NO_DAY_TO_FILL', '{}', NULL, NULL),
  ('The stock at hand that other orders leave is not enough', 'STOCK_IS_SHORT', '{}', 'PACK', 'packId'),
  ('It asks for more than vessels, fillers and routes of these sites ever give in one delivery', 'ASKS_TOO_MUCH', '{}', NULL, NULL),
  ('No fill would leave it enough days on sale before its best before', 'NO_DAYS_ON_SALE', '{}', NULL, NULL),
  ('It could be served on time, but that would cost more than it saves: .*', 'COSTS_MORE', '{}', NULL, NULL),
  ('No single change was found that alone would serve it on time', 'NO_RELIEF_FOUND', '{}', NULL, NULL),
  ('No single change that alone would serve it on time was found in the tries that were made', 'NO_RELIEF_IN_TRIES', '{}', NULL, NULL),
  ('No single relief was looked for: there are too many lines to try one for each', 'RELIEFS_NOT_SOUGHT', '{}', NULL, NULL),
  ('Vessel .+ is there no more', 'VESSEL_GONE', '{}', NULL, NULL),
  ('Beer .+ is brewed no more', 'BEER_GONE', '{}', NULL, NULL),
  ('Pack .+ is filled no more', 'PACK_GONE', '{}', NULL, NULL),
  ('Beer (.+) may not be brewed into vessel .+', 'VESSEL_NOT_ALLOWED', '{beerId}', NULL, NULL),
  ('Vessel .+ takes (\d+) to (\d+) L, and (.+) is (\d+) L', 'VOLUME_OUT_OF_RANGE', '{least,most,brewId,litres}', NULL, NULL),
  ('Site .+ does not brew on [^.]+', 'SITE_DOES_NOT_BREW', '{}', NULL, NULL),
  ('Site .+ does not fill on [^.]+', 'SITE_DOES_NOT_FILL', '{}', NULL, NULL),
  ('Site .+ moves no beer on [^.]+', 'SITE_DOES_NOT_MOVE', '{}', NULL, NULL),
  ('Site .+ makes at most (\d+) brews a day, and others take up [^.]+', 'BREWS_TAKEN', '{most}', NULL, NULL),
  ('Site .+ can start no more transfers on [^.]+: its limit is (\d+) a day', 'TRANSFERS_TAKEN', '{most}', NULL, NULL),
  ('Filler .+ fills no containers of this type any more', 'FILLER_CANNOT_FILL', '{}', NULL, NULL),
  ('Filler .+ has no minutes left on [^.]+ to be washed for another group of beers', 'FILLER_NOT_WASHED', '{}', NULL, NULL),
  ('Filler .+ has (\d+) minutes to spare on [^.]+, and this takes (\d+) and a set-up', 'FILLER_BUSY', '{spare,work}', NULL, NULL),
  ('.+ has too little beer for (\d+) of pack (.+)', 'BATCH_TOO_SMALL', '{quantity,packId}', NULL, NULL),
  ('The beer was to come from .+, which cannot be as it was', 'SOURCE_LOST', '{}', NULL, NULL),
  ('.+ is no bright vessel of this site any more', 'NOT_A_BRIGHT_VESSEL', '{}', NULL, NULL),
  ('.+ stands in a bright vessel already, and moves once only', 'MOVED_ALREADY', '{}', NULL, NULL),
  ('.+ has (-?\d+) L left to move, and (\d+) L were to be moved', 'TOO_LITTLE_TO_MOVE', '{left,wanted}', NULL, NULL),
  ('Clean containers of type .+ are short at site .+ by [^.]+', 'CONTAINERS_SHORT', '{}', NULL, NULL),
  ('The (?:cold|warm) store of site .+ has no room for it on [^.]+', 'STORE_FULL', '{}', NULL, NULL),
  ('.+ is quarantined: it may be neither drawn nor moved', 'BATCH_QUARANTINED', '{}', NULL, NULL),
  ('.+ is not ready before [^.]+', 'NOT_READY', '{}', NULL, NULL),
  ('.+ is not fit for priming any more', 'UNFIT_FOR_PRIMING', '{}', NULL, NULL),
  ('.+ can be primed until [^.]+ and no longer', 'PRIMING_WINDOW_OVER', '{}', NULL, NULL),
  ('.+ stands in a bright vessel, and this pack is drawn from the fermenter', 'IN_BRIGHT_VESSEL', '{}', NULL, NULL),
  ('.+ is not moved to a bright vessel any more', 'NOT_MOVED', '{}', NULL, NULL),
  ('.+ must be out of its vessel by [^.]+', 'MUST_BE_EMPTY', '{}', NULL, NULL),
  ('Vessel .+ is out of service from [^.]+ to [^.]+', 'VESSEL_OUT_OF_SERVICE', '{}', NULL, NULL),
  ('Vessel .+ cannot be used before [^.]+', 'VESSEL_NOT_YET_THERE', '{}', NULL, NULL),
  ('Other beer stands in vessel .+ on [^.]+', 'VESSEL_TAKEN', '{}', NULL, NULL),
  ('It could have stayed, but as it is now the plan costs less', 'CHEAPER_OTHERWISE', '{}', NULL, NULL),
  ('It could have stayed, but the plan costs less without it', 'CHEAPER_WITHOUT', '{}', NULL, NULL),
  ('', 'RELIEF_FOUND', '{}', NULL, NULL);

-- The part of a sentence that says what binds; '' where it says a relief and nothing else.
CREATE FUNCTION "_cause"("reason" JSONB) RETURNS TEXT LANGUAGE sql IMMUTABLE AS $$
  SELECT CASE WHEN "reason" ? 'relief'
    THEN regexp_replace("reason"->>'message', '(^| )What alone would serve it on time: .*$', '')
    ELSE "reason"->>'message' END
$$;

CREATE FUNCTION "_as_data"("reason" JSONB) RETURNS JSONB LANGUAGE sql STABLE AS $$
  SELECT CASE WHEN NOT "reason" ? 'message' THEN "reason" ELSE
    ("reason" - 'message') || coalesce(
      (SELECT jsonb_build_object('code', "code") || CASE WHEN "all" = '{}' THEN '{}' ELSE jsonb_build_object('params', "all") END
       FROM (
         SELECT "code",
           -- An id stays text; all else is a number.
           coalesce((
             SELECT jsonb_object_agg("name", CASE WHEN "name" LIKE '%Id' THEN to_jsonb("found"["at"]) ELSE to_jsonb("found"["at"]::NUMERIC) END)
             FROM unnest("params") WITH ORDINALITY AS p("name", "at")
           ), '{}')
           || CASE WHEN "ofResource" IS NOT NULL AND "reason"->'resource'->>'kind' = "kind"
              THEN jsonb_build_object("ofResource", "reason"->'resource'->'id') ELSE '{}' END
           || CASE WHEN "reason"->'relief'->>'what' = 'FEWER_CONTAINERS'
                AND "reason"->>'message' ~ ' fewer, \d+ in all;'
              THEN jsonb_build_object('remaining', substring("reason"->>'message' FROM ' fewer, (\d+) in all;')::NUMERIC) ELSE '{}' END
           AS "all"
         FROM "_said",
           LATERAL regexp_match("_cause"("reason"), '^' || "pattern" || CASE WHEN "pattern" = '' THEN '$' ELSE '\.$' END) AS m("found")
         WHERE "found" IS NOT NULL
         LIMIT 1
       ) AS d),
      jsonb_build_object('code', 'AS_RECORDED', 'params', jsonb_build_object('words', "reason"->'message'))
    ) END
$$;

CREATE FUNCTION "_all_as_data"("reasons" JSONB) RETURNS JSONB LANGUAGE sql STABLE AS $$
  SELECT coalesce(jsonb_agg("_as_data"("reason") ORDER BY "at"), '[]')
  FROM jsonb_array_elements("reasons") WITH ORDINALITY AS r("reason", "at")
$$;

UPDATE "PlanVerdict" SET "reasons" = "_all_as_data"("reasons");
UPDATE "PlanMove" SET "reasons" = "_all_as_data"("reasons");

-- The change log repeats the reasons of promises that came to be at risk.
UPDATE "ChangeLogEntry" SET "after" = jsonb_set("after", '{reasons}', "_all_as_data"("after"->'reasons'))
  WHERE "kind" LIKE 'PROMISE\_%' AND jsonb_typeof("after"->'reasons') = 'array';
UPDATE "ChangeLogEntry" SET "before" = jsonb_set("before", '{reasons}', "_all_as_data"("before"->'reasons'))
  WHERE "kind" LIKE 'PROMISE\_%' AND jsonb_typeof("before"->'reasons') = 'array';

DROP FUNCTION "_all_as_data"(JSONB);
DROP FUNCTION "_as_data"(JSONB);
DROP FUNCTION "_cause"(JSONB);
DROP TABLE "_said";
