// What set-up enters of batches, lots and fleets is their opening in the ledger. Once a fact names the thing, its counts, volumes
// and days follow from facts alone, and set-up changes none of them.
import { isDeepStrictEqual } from 'node:util'
import { todayIn } from '../../clock.ts'
import type { TransactionClient } from '../../database/client.ts'
import { InvalidInput, type Issue, issue } from '../../errors.ts'
import { firstFactOf, OPENED_KINDS, type Opened, openThing } from '../../records/open-ledger.ts'
import type { Actor } from '../actor.ts'
import type { ThingKind } from '../thing-ref.ts'

/** Fields of an input that facts say later, each with what says it then. */
export type SaidByFacts<Key extends string = string> = { readonly [Field in Key]?: string }

/** A thing as set-up found it and leaves it, as inputs describe it. */
export interface SetUp {
  kind: ThingKind
  id: string
  /** Absent: it is new. */
  before?: object
  after: object
}

/**
 * Enters what set-up says of a thing, as of today at its site, in the revision that the change makes. Throws `InvalidInput`
 * where it changes something that facts say.
 */
export async function enterOpening(
  { clock, distributorId }: Actor,
  tx: TransactionClient,
  { kind, id, before, after }: SetUp,
  saidByFacts: SaidByFacts,
  revision: number,
): Promise<void> {
  const thing = openedOf(kind, id)
  const fact = before && (await firstFactOf(tx, distributorId, thing))
  if (!fact) {
    const day = (timeZone: string) => todayIn(clock, timeZone)
    return openThing(tx, distributorId, thing, { revision, day, at: clock.now() })
  }
  const [was, is] = [new Map(Object.entries(before)), new Map(Object.entries(after))]
  const issues = Object.entries(saidByFacts).flatMap(([field, says]): Issue[] =>
    isDeepStrictEqual(was.get(field), is.get(field))
      ? []
      : [issue(field, 'SAID_BY_FACTS', `facts say it since ${fact.on} (${fact.kind}): ${says}`)],
  )
  const [first, ...others] = issues
  if (first) throw new InvalidInput([first, ...others])
}

function openedOf(kind: ThingKind, id: string): Opened {
  const opened = OPENED_KINDS.find((each) => each === kind)
  if (!opened) throw new Error(`the ledger follows no ${kind}`)
  return { kind: opened, id }
}
