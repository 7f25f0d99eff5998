// Creating, changing and retiring one kind of set-up thing. A change is merged into the thing as it stands, and the whole is
// parsed again by the shape that creating uses: so both know the same rules, and say all faults at once.
import { randomUUID } from 'node:crypto'
import { isDeepStrictEqual } from 'node:util'
import { z } from 'zod'
import { type ChangeKind, isChangeKind } from '../../database/change-kinds.ts'
import type { TransactionClient } from '../../database/client.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { issue } from '../../errors.ts'
import type { Actor } from '../actor.ts'
import { type Reading, readChange, readInput, standInOf } from '../read-input.ts'
import { References, type ThingKind, thingRef } from '../thing-ref.ts'
import type { Written } from '../written.ts'
import { noteTooMany } from './most-things.ts'
import { enterOpening, type SaidByFacts, type SetUp } from './opening.ts'
import { type SetupChange, type Unchanged, writeSetup } from './write-setup.ts'

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
  /** Of what the ledger follows: the fields that facts say, once one names the thing. Absent: the ledger does not follow it. */
  saidByFacts?: SaidByFacts<keyof Shape['shape'] & string>
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
  return { create: createOf(noun), change: changeOf(noun), retire: retireOf(noun) }
}

function createOf<Shape extends z.ZodObject>(noun: Noun<Shape>): NounUseCases['create'] {
  const { kind, shape } = noun
  return (actor, input) => {
    const reading = readInput(shape, input)
    return write(actor, async (tx, revision) => {
      const { distributorId } = actor
      const id = randomUUID()
      const refs = new References(tx, distributorId)
      await noteTooMany(tx, distributorId, kind, refs)
      await save(noun, actor, id, reading, { tx, refs, isNew: true, names: () => true })
      const after = await noun.describe(tx, { distributorId, id })
      await open(noun, actor, tx, revision, { kind, id, after })
      return { kind: eventOf(kind, 'CREATED'), entity: { type: kind, id }, after }
    })
  }
}

function changeOf<Shape extends z.ZodObject>(noun: Noun<Shape>): NounUseCases['change'] {
  const { kind, key: name, shape } = noun
  const changeable = Object.keys(shape.shape).filter((key) => !noun.fixed.some((fixed) => fixed === key))
  const changeShape = z.strictObject({
    [name]: thingRef,
    ...Object.fromEntries(changeable.map((key) => [key, z.unknown().optional()])),
  })
  return (actor, input) => {
    const asked = readChange(changeShape, input)
    const { [name]: ref, ...changes } = asked.given
    const subject = thingRef.parse(ref)
    const named = Object.entries(changes).filter(([, value]) => value !== undefined)
    return write(actor, async (tx, revision) => {
      const { distributorId } = actor
      const refs = new References(tx, distributorId)
      refs.take(asked)
      if (named.length === 0) refs.note(issue('', 'NOTHING_TO_CHANGE'))
      const { id } = (await refs.subject(kind, subject, name)) ?? {}
      const keys = new Set(named.map(([key]) => key))
      if (id === undefined) {
        // The values that the input names can be wrong too; the rest of the thing is a placeholder.
        refs.take({ issues: [], unread: Object.keys(shape.shape).filter((key) => !keys.has(key)) })
      }
      const before = id === undefined ? standInOf(shape) : await noun.describe(tx, { distributorId, id })
      const reading = readInput(shape, Object.assign({}, before, Object.fromEntries(named)))
      await save(noun, actor, id ?? '', reading, { tx, refs, isNew: false, names: (key) => keys.has(key) })
      if (id === undefined) throw new Error(`a ${kind} that is not there was changed`)
      const after = await noun.describe(tx, { distributorId, id })
      const entity = { type: kind, id }
      // What is as it was makes no revision: a nightly synchronization would fill the change log.
      if (isDeepStrictEqual(before, after)) return { entity }
      await open(noun, actor, tx, revision, { kind, id, before, after })
      return { kind: eventOf(kind, 'CHANGED'), entity, before, after }
    })
  }
}

function retireOf<Shape extends z.ZodObject>(noun: Noun<Shape>): NounUseCases['retire'] {
  const { kind, key: name } = noun
  const retireShape = z.strictObject({ [name]: thingRef })
  return (actor, input) => {
    const asked = readInput(retireShape, input)
    const subject = thingRef.parse(asked.given[name])
    return write(actor, async (tx) => {
      const { distributorId } = actor
      const refs = new References(tx, distributorId)
      refs.take(asked)
      const found = await refs.subject(kind, subject, name)
      refs.settle()
      if (!found) throw new Error(`a ${kind} that is not there was found`)
      const { id } = found
      const entity = { type: kind, id }
      if (found.retired || !noun.retire) return { entity }
      const before = await noun.describe(tx, { distributorId, id })
      const at = actor.clock.now()
      await noun.retire(tx, { distributorId, id }, at)
      return { kind: eventOf(kind, 'RETIRED'), entity, before, after: { ...before, retiredAt: at } }
    })
  }
}

/** What happened as the change log writes it, such as `STOCK_LOT_CREATED`. */
function eventOf(kind: ThingKind, what: 'CREATED' | 'CHANGED' | 'RETIRED'): ChangeKind {
  const event = `${kind.replace(/(?<=[a-z])(?=[A-Z])/g, '_').toUpperCase()}_${what}`
  if (!isChangeKind(event)) throw new Error(`the change log knows no ${event}`)
  return event
}

/** Writes a change; what the database refuses is answered as the refusal that it stands for. */
async function write(
  actor: Actor,
  change: (tx: TransactionClient, revision: number) => Promise<SetupChange | Unchanged>,
): Promise<Written> {
  try {
    return await writeSetup(actor, change)
  } catch (error) {
    throw refusedByDatabase(error) ?? error
  }
}

async function save<Shape extends z.ZodObject>(
  noun: Noun<Shape>,
  actor: Actor,
  id: string,
  reading: Reading<z.output<Shape>>,
  saving: Pick<Saving, 'tx' | 'refs' | 'isNew' | 'names'>,
): Promise<void> {
  const { distributorId } = actor
  const { given } = reading
  saving.refs.take(reading)
  const { externalRef } = given
  if (typeof externalRef === 'string') await saving.refs.free(noun.kind, externalRef, 'externalRef', id)
  await noun.save({ ...actor, ...saving }, { distributorId, id }, given)
}

async function open<Shape extends z.ZodObject>(
  { saidByFacts }: Noun<Shape>,
  actor: Actor,
  tx: TransactionClient,
  revision: number,
  thing: SetUp,
): Promise<void> {
  if (saidByFacts) await enterOpening(actor, tx, thing, saidByFacts, revision)
}
