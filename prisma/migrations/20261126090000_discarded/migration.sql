-- A draft that nobody wants is discarded, and stays readable.
ALTER TYPE "PlanStatus" ADD VALUE 'DISCARDED';
