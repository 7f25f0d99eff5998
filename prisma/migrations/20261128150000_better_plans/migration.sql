-- What becomes of a better plan that is found in the background, and what such a plan saves.
CREATE TYPE "BetterPlans" AS ENUM ('NEVER', 'OFFERED', 'ADOPTED');

ALTER TABLE "Distributor"
  ADD COLUMN "betterPlans" "BetterPlans" NOT NULL DEFAULT 'OFFERED',
  ADD COLUMN "betterPlanSaving" DOUBLE PRECISION NOT NULL DEFAULT 0.05,
  ADD CONSTRAINT "Distributor_betterPlanSaving_check" CHECK ("betterPlanSaving" BETWEEN 0 AND 1);

ALTER TABLE "Plan" ADD COLUMN "saves" DOUBLE PRECISION;
