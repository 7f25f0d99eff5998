-- Drafts and comparisons are solved by jobs. Those that a process was solving without one are solved by no process now. (20261128101500)

UPDATE "Plan" SET "status" = 'FAILED', "solvedAt" = now(),
  "failure" = '{"message": "The server ended before it was done. Draft it again."}'
WHERE "status" = 'SOLVING';

UPDATE "Comparison" SET "status" = 'FAILED', "solvedAt" = now(),
  "failure" = '{"message": "The server ended before it was done. Compare again."}'
WHERE "status" = 'SOLVING';
