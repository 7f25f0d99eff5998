// The catalogue of refusals by code: what is said of each, its HTTP status, and the codes of each kind.

import { type ErrorKind, REFUSALS } from './error-codes.ts'
import { STATUSES } from './error-statuses.ts'
import { FAULT_ACTIONS, type FaultCode } from './planner/documents/index.ts'

export { ERROR_KINDS, type ErrorKind } from './error-codes.ts'

export type RefusalCode = keyof typeof REFUSALS
export type ErrorCode = RefusalCode | FaultCode

/** The refusal codes of one kind. */
export type CodeOf<Kind extends ErrorKind> = {
  [Code in RefusalCode]: (typeof REFUSALS)[Code][0] extends Kind ? Code : never
}[RefusalCode]

export interface CatalogueEntry {
  kind: ErrorKind
  /** The HTTP status of every answer with this code: 200 for the refusal of a field, beside which others are answered. */
  status: number
  /** What it means, as a sentence. */
  meaning: string
  /** What the caller can do, as a sentence. */
  action: string
}

/** The whole catalogue, by code. */
export const ERROR_CATALOGUE: ReadonlyMap<ErrorCode, CatalogueEntry> = new Map<ErrorCode, CatalogueEntry>([
  ...faultCodes().map((code): [ErrorCode, CatalogueEntry] => [
    code,
    { kind: 'INVALID_INPUT', status: 200, meaning: 'A value of the input is not right.', action: FAULT_ACTIONS[code] },
  ]),
  ...refusalCodes().map((code): [ErrorCode, CatalogueEntry] => {
    const [kind, meaning, action] = REFUSALS[code]
    return [code, { kind, status: STATUSES[code] ?? 200, meaning, action }]
  }),
])

/** Whether something is a code of the catalogue. */
export function isErrorCode(code: unknown): code is ErrorCode {
  return typeof code === 'string' && (code in REFUSALS || code in FAULT_ACTIONS)
}

/** What the catalogue says about a code. */
export function catalogueEntry(code: ErrorCode): CatalogueEntry {
  const entry = ERROR_CATALOGUE.get(code)
  if (!entry) throw new Error(`the catalogue lacks the code ${code}`)
  return entry
}

function isCode<Code extends string>(catalogue: Record<Code, unknown>, code: string): code is Code {
  return code in catalogue
}

function faultCodes(): FaultCode[] {
  return Object.keys(FAULT_ACTIONS).filter((code) => isCode(FAULT_ACTIONS, code))
}

function refusalCodes(): RefusalCode[] {
  return Object.keys(REFUSALS).filter((code) => isCode(REFUSALS, code))
}
