// Creating, changing and retiring one kind of set-up thing. A change is merged into the thing as it stands, and the whole is
// parsed again by the shape that creating uses: so both know the same rules, and say all faults at once.
import { randomUUID } from 'node:crypto'
import { isDeepStrictEqual } from 'node:util'
import { z } from 'zod'
import { type ChangeKind, isChangeKind } from '../../database/change-kinds.ts'
import type { TransactionClient } from '../../database/client.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { Conflict, issue } from '../../errors.ts'
import type { Actor } from '../actor.ts'
import { type Reading, readChange, readInput, standInOf } from '../read-input.ts'
import { fieldsThatDiffer, type LookUp } from '../same-thing.ts'
import { findThing, References, type ThingKind, thingRef } from '../thing-ref.ts'
import type { Written } from '../written.ts'
import { noteTooMany } from './most-things.ts'
import { enterOpening, type SaidByFacts, type SetUp } from './opening.ts'
import { type SetupChange, type SetupWork, type Unchanged, writeSetup } from './write-setup.ts'

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
  /** Lists of which the order matters. Absent: none. */
  inOrder?: readonly (keyof Shape['shape'] & string)[]
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
  /** Creates a thing, or, with `upsert`, changes the one that has its reference. Throws `InvalidInput`, `Conflict`. */
  create: (actor: Actor, input: unknown) => Promise<Written>
  /** What creating does, to be written together with others. Throws `InvalidInput` where nothing of the input can be read. */
  enter: (actor: Actor, input: unknown) => SetupWork
  /** Changes what the input names; null takes an optional value away. Throws `InvalidInput`, `NotFound`, `Conflict`. */
  change: (actor: Actor, input: unknown) => Promise<Written>
  /** Retires a thing; one that is retired already stays as it is. Throws `InvalidInput`, `NotFound`. */
  retire: (actor: Actor, input: unknown) => Promise<Written>
}

/** The three use-cases of a kind. */
export function useCasesOf<Shape extends z.ZodObject>(noun: Noun<Shape>): NounUseCases {
  const enter = enterOf(noun)
  const create: NounUseCases['create'] = (actor, input) => write(actor, enter(actor, input))
  return { create, enter, change: changeOf(noun), retire: retireOf(noun) }
}

function enterOf<Shape extends z.ZodObject>(noun: Noun<Shape>): NounUseCases['enter'] {
  const { kind, shape } = noun
  return (actor, input) => {
    const { upsert, thing } = asUpsert(input)
    const reading = { ...readInput(shape, thing), sent: new Set(Object.keys(Object.assign({}, thing))) }
    const { externalRef } = reading.given
    return async (tx, revision) => {
      const { distributorId } = actor
      const id = randomUUID()
      const refs = new References(tx, distributorId)
      if (upsert && externalRef === undefined)
        refs.note(issue('externalRef', 'MISSING_VALUE', 'give the reference that the thing has, or is to get'))
      const holder =
        typeof externalRef === 'string' ? await findThing(tx, distributorId, kind, { externalRef }) : undefined
      if (upsert && holder) return upserted(noun, actor, { tx, refs, revision, id: holder.id }, reading, thing)
      if (!holder) await noteTooMany(tx, distributorId, kind, refs)
      await save(noun, actor, id, reading, { tx, refs, isNew: true, names: () => true })
      const after = await noun.describe(tx, { distributorId, id })
      await open(noun, actor, tx, revision, { kind, id, after })
      return { kind: eventOf(kind, 'CREATED'), entity: { type: kind, id }, after }
    }
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
      return changed(noun, actor, { tx, refs, revision, id }, named)
    })
  }
}

/** What a change has at hand; `id` is undefined where there is no such thing, and a refusal is noted. */
interface Changing {
  tx: TransactionClient
  refs: References
  revision: number
  id: string | undefined
}

/** Gives the values that are named to a thing. */
async function changed<Shape extends z.ZodObject>(
  noun: Noun<Shape>,
  actor: Actor,
  { tx, refs, revision, id }: Changing,
  named: readonly (readonly [string, unknown])[],
): Promise<SetupChange | Unchanged> {
  const { kind, shape } = noun
  const { distributorId } = actor
  const keys = new Set(named.map(([key]) => key))
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
}

/** An input of a creation, and whether a thing that has its reference already is to be changed. */
function asUpsert(input: unknown): { upsert: boolean; thing: unknown } {
  if (typeof input !== 'object' || input === null || !('upsert' in input)) return { upsert: false, thing: input }
  const { upsert, ...thing } = input
  if (upsert === true || upsert === false || upsert === null || upsert === undefined)
    return { upsert: upsert ?? false, thing }
  // What is neither is refused like every other key that the input does not have.
  return { upsert: false, thing: input }
}

/** Gives what the input of a creation names to the thing that has its reference. Refuses other values of what never changes. */
async function upserted<Shape extends z.ZodObject>(
  noun: Noun<Shape>,
  actor: Actor,
  changing: Changing & { id: string },
  reading: Sent<z.output<Shape>>,
  thing: unknown,
): Promise<SetupChange | Unchanged> {
  const { tx, refs, id } = changing
  const { distributorId } = actor
  const isFixed = (key: string) => noun.fixed.some((fixed) => fixed === key)
  const differs = (await differing(noun, { tx, distributorId }, id, reading))?.filter(isFixed) ?? []
  if (differs.length > 0) {
    const message = `The ${noun.key} with this reference has other values of ${differs.join(', ')}, which never change.`
    refs.take(reading)
    refs.refuse('externalRef', new Conflict('EXTERNAL_REF_TAKEN', message, [], [], { type: noun.kind, id, differs }))
  }
  const named = Object.entries(Object.assign({}, thing)).filter(
    ([key, value]) => value !== undefined && key !== 'externalRef' && !isFixed(key),
  )
  return changed(noun, actor, changing, named)
}

/** An input as it was read, with the fields that it names itself. Absent: all are its own. */
type Sent<Value> = Reading<Value> & { sent?: ReadonlySet<string> }

/** The fields that an input names and that differ from a thing; undefined where the input could not be read. */
async function differing<Shape extends z.ZodObject>(
  noun: Noun<Shape>,
  lookUp: LookUp,
  id: string,
  { given, issues, sent }: Sent<z.output<Shape>>,
): Promise<string[] | undefined> {
  if (issues.length > 0) return undefined
  const described = await noun.describe(lookUp.tx, { distributorId: lookUp.distributorId, id })
  const read = readInput(noun.shape, described)
  const differs = await fieldsThatDiffer(lookUp, read.given, given, noun.inOrder)
  return differs.filter((field) => sent?.has(field) ?? true)
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
async function write(actor: Actor, change: SetupWork): Promise<Written> {
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
  reading: Sent<z.output<Shape>>,
  saving: Pick<Saving, 'tx' | 'refs' | 'isNew' | 'names'>,
): Promise<void> {
  const { distributorId } = actor
  const { given } = reading
  saving.refs.take(reading)
  const { externalRef } = given
  if (typeof externalRef === 'string') {
    const compare = saving.isNew
      ? (holder: string) => differing(noun, { tx: saving.tx, distributorId }, holder, reading)
      : undefined
    await saving.refs.free(noun.kind, externalRef, 'externalRef', id, compare)
  }
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
