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

/** What stands beside facts that can hurt people. */
export {
  CAUSTIC_COLLAPSES as CAUSTIC,
  CO2_KILLS as CO2,
  LOCAL_CODES_PREVAIL as CAUTION,
} from '../../words/caution-words.ts'

/** Why something was done. */
export const why = { type: 'String' as const, description: 'Why, 1 to 500 characters. Absent: not said.' }
