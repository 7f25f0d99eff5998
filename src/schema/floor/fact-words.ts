// How the API calls a kind of fact, and words that several kinds share.
import type { InputField } from '../setup/setup-inputs.ts'

/** How the API calls a kind of fact, and what it says about it. */
export interface FactWords {
  /** The mutation that records one, such as `recordFill`; its input is then `RecordFillInput`. */
  mutation: string
  /** What happened, as a sentence. */
  description: string
  /** Its own fields; those of every fact come on top. */
  fields: Record<string, InputField>
}

/** What stands beside facts that can hurt people (general safety of cellars; from memory). */
export const CO2 =
  'Carbon dioxide fills cellars and vessels and kills without warning: measure the air before anybody goes in.'
export const CAUTION = 'Follow local codes and licensed practice.'

/** Why something was done. */
export const why = { type: 'String' as const, description: 'Why, 1 to 500 characters. Absent: not said.' }
