// What a kind of fact is to the use-cases: the input that says it, and what it means for the records as they are.
import { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import type { Issue } from '../../errors.ts'
import type { CarriedOut } from '../../floor/carried-out.ts'
import type { Fact, FactKind, Happened } from '../../floor/facts/fact.ts'
import { type LocalDate, localDate, type Plan } from '../../planner/documents/index.ts'
import type { Subject } from '../../records/fact-rows.ts'
import { decodeGlobalId } from '../global-id.ts'
import { decisionKeyOf } from '../plans/plan-ref.ts'
import { type Reading, readInput } from '../read-input.ts'
import type { References } from '../thing-ref.ts'

/** What every fact may say, whatever its kind. */
export const said = {
  /** The day on which it happened, in the site's zone. Absent: the day of `at`, else today. */
  on: localDate.optional(),
  /** The instant at which it happened. */
  at: z.iso.datetime({ offset: true }).optional(),
  /** The caller's own reference: said again with the same content, the first result is answered. */
  reference: z.string().min(1).max(200).optional(),
}

/** A planned decision as inputs name it: by its id, or by its name within the plan in force. Read, it is the name. */
export const decisionName = z
  .string()
  .min(1)
  .max(500)
  .transform((text) => decisionKeyOf(decodeGlobalId(text)?.id ?? '')?.id ?? text)

/** Something that was taken otherwise than said, or that people should look at. */
export interface Warning {
  code:
    | 'SAID_BEFORE'
    | 'MORE_THAN_KNOWN'
    | 'FROM_QUARANTINE'
    | 'FILL_IMPLIED'
    | 'FERMENTATION_UNPROVEN'
    | 'LEFT_TOO_YOUNG'
    | 'RETURN_OF_NONE'
    | 'OTHER_THAN_PLANNED'
    | 'NOT_KEPT_BACK'
  message: string
}

/** A planned decision that a fact carries out. */
export interface Decision {
  kind: 'BREW' | 'TRANSFER' | 'FILL_RUN' | 'DUMP' | 'DELIVERY'
  id: string
}

/** The decision that a fact's row says it carries out; undefined where it names none. */
export function decisionOf(row: { decisionKind: string | null; decisionId: string | null }): Decision | undefined {
  const { decisionKind: kind, decisionId: id } = row
  switch (kind) {
    case 'BREW':
    case 'TRANSFER':
    case 'FILL_RUN':
    case 'DUMP':
    case 'DELIVERY':
      return id === null ? undefined : { kind, id }
    default:
      return undefined
  }
}

/** What a fact means for the records. */
export interface Meant {
  happened: Happened
  siteId: string
  subjects: Subject[]
  decision?: Decision
  carriedOut: CarriedOut[]
  warnings: Warning[]
  /** Rows that must be there before the fact's own: a batch, a lot. Run once nothing is wrong. */
  create?: () => Promise<void>
  /** Facts that this one implies: a dispatch before its fill was said. They are recorded before it. */
  implied?: Meant[]
}

/** Which assumed fact is meant: of one of these kinds, and of a decision, or of a thing. */
export interface AssumedOf {
  kinds: readonly FactKind[]
  decision?: Decision
  subjects?: readonly Subject[]
  /** Of this day alone. */
  on?: LocalDate
  /** Of these besides, by what it says. */
  where?: (fact: Fact) => boolean | Promise<boolean>
}

/** What a kind has at hand to find out what is meant. */
export interface FactContext {
  tx: TransactionClient
  distributorId: string
  refs: References
  /** The plan in force after the facts before this one; undefined where there is none. */
  plan: Plan | undefined
  /** The fact that this one takes the place of, which has been taken back; undefined where it corrects none. */
  corrects?: Fact | undefined
  /**
   * Takes back what was assumed of the same work, so that what is said takes its place; answers that fact. Undefined where none
   * was, or where it corrects another.
   */
  takeAssumed: (which: AssumedOf) => Promise<Fact | undefined>
  /** Whether the plan alone says it, of a day that is over: no person says so. */
  isAssumed: boolean
  /** Writes the path of a field of the input. */
  path: (field: string) => string
  /** The day on which it happened, once the site is known. */
  dayAt: (site: { id: string; timeZone: string }) => LocalDate
  /** Notes what is wrong. */
  note: (...issues: Issue[]) => void
}

/** One kind of fact, as the API takes it. */
export interface FactKindInput<Shape extends z.ZodObject> {
  shape: Shape
  /** What is meant; undefined where something is wrong, which is noted in the context. */
  mean: (context: FactContext, given: z.output<Shape>) => Promise<Meant | undefined>
}

/** A fact as its kind's shape has read it. */
export interface ReadFact {
  reading: Reading<Said>
  mean: (context: FactContext) => Promise<Meant | undefined>
}

/** What is said of every fact. */
export type Said = z.output<typeof saidShape>
const saidShape = z.object(said)

export interface FactKindReader<Shape extends z.ZodObject> extends FactKindInput<Shape> {
  read: (input: unknown) => ReadFact
}

/** Ties a kind's shape to what it means. */
export function factKind<Shape extends z.ZodObject>(kind: FactKindInput<Shape>): FactKindReader<Shape> {
  return {
    ...kind,
    read: (input) => {
      const reading = readInput(kind.shape, input)
      const common = saidShape.safeParse(reading.given)
      return {
        reading: { ...reading, given: common.data ?? {} },
        mean: (context) => kind.mean(context, reading.given),
      }
    },
  }
}
