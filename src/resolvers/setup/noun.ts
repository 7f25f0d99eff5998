// Creating, changing and retiring one kind of set-up thing. A change is laid over the thing as it stands, and the whole is
// parsed again by the shape that creating uses: so both know the same rules, and say all faults at once.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import type { TransactionClient } from '../../database/client.ts'
import { type Locked, withDistributorLock } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { Conflict, InvalidInput, issue } from '../../errors.ts'
import type { Actor } from '../actor.ts'
import { notingRisks } from '../orders/noting-risks.ts'
import { parseChange, parseInput } from '../parse-input.ts'
import { findThing, References, subjectId, type ThingKind, thingRef } from '../thing-ref.ts'

/** What a write answers: the row's id, and the revision that the records have since. */
export interface Written {
  id: string
  revision: number
}

/** What saving has at hand. */
export interface Saving extends Actor {
  tx: TransactionClient
  /** Looks up what the input refers to; what is wrong is noted here. */
  refs: References
  /** Whether the thing is new. */
  isNew: boolean
  /** Whether the input itself names `key`; false where the value is the thing's own as it stood. */
  names: (key: string) => boolean
}

export interface Noun<Shape extends z.ZodObject> {
  kind: ThingKind
  /** What the inputs call the thing, such as `vessel`. */
  key: string
  /** The whole thing as inputs describe it. */
  shape: Shape
  /** Keys that can be given when it is created and never change. */
  fixed: readonly (keyof Shape['shape'] & string)[]
  /** The thing as it stands, as an input would describe it; references by id. */
  describe: (tx: TransactionClient, key: RowKey) => Promise<z.input<Shape>>
  /** Checks what the shape cannot say (noting it in `refs`), calls `refs.settle()`, and writes the row with its children. */
  save: (saving: Saving, key: RowKey, given: z.output<Shape>) => Promise<void>
  /** Marks the row as retired. Absent: the kind is never retired. */
  retire?: (tx: TransactionClient, key: RowKey, at: Date) => Promise<void>
}

export interface RowKey {
  distributorId: string
  id: string
}

export interface NounUseCases {
  /** Creates a thing. Throws `InvalidInput`, `Conflict`. */
  create: (actor: Actor, input: unknown) => Promise<Written>
  /** Changes what the input names; null takes an optional value away. Throws `InvalidInput`, `NotFound`, `Conflict`. */
  change: (actor: Actor, input: unknown) => Promise<Written>
  /** Retires a thing; one that is retired already stays as it is. Throws `InvalidInput`, `NotFound`. */
  retire: (actor: Actor, input: unknown) => Promise<Written>
}

/** The three use-cases of a kind. */
export function useCasesOf<Shape extends z.ZodObject>(noun: Noun<Shape>): NounUseCases {
  const { kind, key: name, shape } = noun
  const event = kind.replace(/(?<=[a-z])(?=[A-Z])/g, '_').toUpperCase()
  const changeShape = z.strictObject({
    [name]: thingRef,
    ...Object.fromEntries(
      Object.keys(shape.shape)
        .filter((key) => !noun.fixed.some((fixed) => fixed === key))
        .map((key) => [key, z.unknown().optional()]),
    ),
  })
  const retireShape = z.strictObject({ [name]: thingRef })

  const write = async (actor: Actor, work: (locked: Locked) => Promise<string>): Promise<Written> => {
    try {
      const { result, revision } = await withDistributorLock(actor, actor.distributorId, (locked) =>
        notingRisks(actor, locked, work),
      )
      if (result.after) actor.snapshots?.keep({ ...result.after, revision })
      return { id: result.result, revision }
    } catch (error) {
      throw refusedByDatabase(error) ?? error
    }
  }

  const save = async (
    actor: Actor,
    { tx }: Locked,
    id: string,
    given: z.output<Shape>,
    { isNew, names }: Pick<Saving, 'isNew' | 'names'>,
  ) => {
    const { distributorId } = actor
    const { externalRef } = given
    if (typeof externalRef === 'string') {
      const holder = await findThing(tx, distributorId, kind, { externalRef })
      if (holder && holder.id !== id)
        throw new Conflict('EXTERNAL_REF_TAKEN', `externalRef: another ${kind} has the reference "${externalRef}".`)
    }
    const refs = new References(tx, distributorId)
    await noun.save({ ...actor, tx, refs, isNew, names }, { distributorId, id }, given)
  }

  return {
    create: (actor, input) => {
      const given = parseInput(shape, input)
      return write(actor, async (locked) => {
        const id = randomUUID()
        await save(actor, locked, id, given, { isNew: true, names: () => true })
        const after = await noun.describe(locked.tx, { distributorId: actor.distributorId, id })
        locked.log(`${event}_CREATED`, { type: kind, id }, undefined, after)
        return id
      })
    },

    change: (actor, input) => {
      const { [name]: ref, ...changes } = parseChange(changeShape, input)
      const subject = thingRef.parse(ref)
      const named = Object.entries(changes).filter(([, value]) => value !== undefined)
      if (named.length === 0) throw new InvalidInput([issue('', 'NOTHING_TO_CHANGE')])
      return write(actor, async (locked) => {
        const { distributorId } = actor
        const id = await subjectId(locked.tx, distributorId, kind, subject)
        const before = await noun.describe(locked.tx, { distributorId, id })
        const given = parseInput(shape, { ...before, ...Object.fromEntries(named) })
        const keys = new Set(named.map(([key]) => key))
        await save(actor, locked, id, given, { isNew: false, names: (key) => keys.has(key) })
        const after = await noun.describe(locked.tx, { distributorId, id })
        locked.log(`${event}_CHANGED`, { type: kind, id }, before, after)
        return id
      })
    },

    retire: (actor, input) => {
      const subject = thingRef.parse(parseInput(retireShape, input)[name])
      return write(actor, async ({ tx, log }) => {
        const { distributorId } = actor
        const found = await findThing(tx, distributorId, kind, subject)
        const id = found?.id ?? (await subjectId(tx, distributorId, kind, subject))
        if (found?.retired || !noun.retire) return id
        const before = await noun.describe(tx, { distributorId, id })
        const at = actor.clock.now()
        await noun.retire(tx, { distributorId, id }, at)
        log(`${event}_RETIRED`, { type: kind, id }, before, { ...before, retiredAt: at })
        return id
      })
    },
  }
}
