// Refusals of lists that are longer, and records that would be larger, than they may be.

/** By code: the kind, what it means and what the caller can do. */
export const SIZE_REFUSALS = {
  TOO_MANY_THINGS: [
    'INVALID_INPUT',
    'There are as many things of the kind as there may be.',
    'Retire what is no longer used, or ask for a distributor of its own for the rest.',
  ],
  TOO_MANY: ['INVALID_INPUT', 'The list is longer than its stated maximum.', 'Send it in parts.'],
  TOO_MANY_ROUTE_DAYS: [
    'INVALID_INPUT',
    'The routes of an account, times the days that plans reach, are more than the planner may keep for each line.',
    'Let fewer routes serve the account, or let plans reach less far.',
  ],
  TOO_MANY_OPEN_LINES: [
    'INVALID_INPUT',
    'There are as many open and reserved order lines as there may be.',
    'Record what was delivered, cancel what is no longer wanted, or ask for a distributor of its own for the rest.',
  ],
} as const
