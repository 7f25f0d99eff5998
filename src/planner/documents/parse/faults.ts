// Faults of a document: what is wrong, where, under which stable code, and what the caller can do about it.

/** The catalogue: every code with what the caller can do. Codes are stable; callers may branch on them. */
export const FAULT_ACTIONS = {
  MISSING_VALUE: 'Add the value that is missing.',
  WRONG_TYPE: 'Write a value of the expected type.',
  UNKNOWN_KEY: 'Remove the key or correct its name.',
  OUT_OF_RANGE: 'Write a value within the stated limits.',
  NOT_WHOLE: 'Write a whole number.',
  BAD_LENGTH: 'Make the text or the list as long as stated.',
  UNKNOWN_CHOICE: 'Use one of the listed values.',
  NO_SUCH_DATE: 'Write a date that exists, as YYYY-MM-DD.',
  NO_SUCH_INSTANT: 'Write an instant that exists, with seconds and an offset, such as 2027-03-01T08:00:00+01:00.',
  NO_SUCH_TIME: 'Write a time of day as HH:mm, from 00:00 to 23:59.',
  UNKNOWN_TIME_ZONE: 'Use a name of the IANA time zone database, such as Europe/London.',
  HORIZON_OUTSIDE_CALENDAR: 'Let the horizon lie between the years 1900 and 9999.',
  DUPLICATE_ID: 'Give each thing of the list an id of its own.',
  DUPLICATE_FLEET: 'Add the containers up in one fleet for each site and container type.',
  DUPLICATE_STORE: 'Add the room up in one store for each site and climate.',
  UNKNOWN_REFERENCE: 'Name a thing that is there, or add it first.',
  MINIMUM_ABOVE_CAPACITY: 'Lower the smallest fill of the vessel, or correct its capacity.',
  SPAN_REVERSED: 'Let the span end on or after the day on which it starts.',
  TRANSFER_DATE_MISSING: 'Say on which day the batch was transferred into its bright vessel.',
  TRANSFER_DATE_UNEXPECTED: 'Remove the day of transfer, or name the bright vessel that the batch is in.',
  VESSEL_HOLDS_TWO_BATCHES: 'Leave one batch in the vessel; a vessel holds one batch at a time (V3).',
  FACT_IN_FUTURE: 'Write a day up to today; what has not happened yet belongs into a plan.',
  OPENED_BEFORE_TRANSFER: 'Write the first day on which beer was drawn from the vessel that the batch is in now.',
  LOT_DATES_REVERSED: 'Let a lot be ready, and best before, on or after the day of its fill.',
  LATEST_BEFORE_SERVE: 'Let the latest day be the serve day or a later one, or leave it out.',
  SOURCE_NOT_SINGLE: 'Name either the fill run or the stock lot that the containers come from.',
  ID_OF_A_BATCH: 'Give the brew an id of its own; this one names a batch that exists.',
} as const

export type FaultCode = keyof typeof FAULT_ACTIONS

/** One thing that is wrong with a document. `path` is written like `beers[2].packs[0].containerTypeId`. */
export interface Fault {
  path: string
  code: FaultCode
  message: string
  action: string
}

/** What a parser answers: the document as a trusted value, or everything that is wrong with it. */
export type Parsed<Name extends string, Value> = ({ ok: true } & Record<Name, Value>) | { ok: false; faults: Fault[] }

/** A fault with the action that the catalogue gives for its code. */
export function fault(path: string, code: FaultCode, message: string): Fault {
  return { path, code, message, action: FAULT_ACTIONS[code] }
}

/** Writes a path of keys and indices: `beers[2].packs[0].id`, `fillers[0].minutesEach["half barrel"]`; '' is the document. */
export function writePath(steps: readonly PropertyKey[]): string {
  let path = ''
  for (const step of steps) {
    if (typeof step === 'number') path += `[${step}]`
    else if (/^[A-Za-z_$][\w$]*$/.test(String(step))) path += path === '' ? String(step) : `.${String(step)}`
    else path += `[${JSON.stringify(String(step))}]`
  }
  return path
}
