-- A vessel that is said to have been cleaned since it was emptied takes beer before its turnaround is over.
ALTER TABLE "Vessel"
  ADD COLUMN "cleanedOn" DATE,
  ADD CONSTRAINT "Vessel_cleanedOn_check" CHECK ("cleanedOn" >= "emptiedOn");
