-- V11: a site may say how many transfers it starts on a day.
ALTER TABLE "Site" ADD COLUMN "transfersPerDay" INTEGER;
ALTER TABLE "Site" ADD CONSTRAINT "Site_transfersPerDay_check" CHECK ("transfersPerDay" >= 0);
