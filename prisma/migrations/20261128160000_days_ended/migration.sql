-- The last day on which a site begins nothing more, as it has been rolled. Absent: by the days of the distributor.
ALTER TABLE "Site" ADD COLUMN "endedThrough" DATE;
