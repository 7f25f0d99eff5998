-- What must never be of reservations, whoever writes. By itself, because PostgreSQL lets no transaction use a value of an
-- enumeration that it has only just added.

ALTER TABLE "Distributor"
  ADD CONSTRAINT "Distributor_offerKey_check" CHECK ("offerKey" ~ '^[0-9a-f]{64}$');

ALTER TABLE "Reservation"
  ADD CONSTRAINT "Reservation_externalRef_check" CHECK (is_name("externalRef")),
  ADD CONSTRAINT "Reservation_expiresAt_check" CHECK ("expiresAt" > "madeAt"),
  ADD CONSTRAINT "Reservation_endedAt_check" CHECK (("status" = 'ACTIVE') = ("endedAt" IS NULL) AND "endedAt" >= "madeAt");

-- What is reserved is promised.
ALTER TABLE "OrderLine"
  ADD CONSTRAINT "OrderLine_reserved_check" CHECK ("status" <> 'RESERVED' OR "promisedOn" IS NOT NULL);
