-- What of a plan's cost no plan avoids, found with its lower bound.
ALTER TABLE "Plan" ADD COLUMN "unavoidable" JSONB;
