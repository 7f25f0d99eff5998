// What happened is recorded: one fact or several at once, all or nothing, with the plan in force repaired in the same transaction.
import { createHash } from 'node:crypto'
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { type Locked, type Log, withDistributorLock } from '../../database/distributor-lock.ts'
import { refusedByDatabase } from '../../database/refused-by-database.ts'
import { Conflict, issue } from '../../errors.ts'
import type { CarriedOut } from '../../floor/carried-out.ts'
import { planAfter } from '../../floor/carried-out.ts'
import type { Fact } from '../../floor/facts/fact.ts'
import { type LocalDate, localDateOf, type Plan, wallClock } from '../../planner/documents/index.ts'
import { EFFECTIVE } from '../../records/fact-rows.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readInput } from '../read-input.ts'
import { References } from '../thing-ref.ts'
import type { FactContext, Meant, ReadFact } from './fact-kind.ts'
import { FACT_INPUT_KEYS, FACT_INPUTS } from './kinds.ts'
import { planInForce, type Repaired, repairPlan } from './repair-plan.ts'
import { beginFacts, type FactWriting, type SaidOf, writeFact } from './write-fact.ts'

/** Most facts of one mutation: a whole fill day, a whole van. */
export const MOST_FACTS = 200

/** A fact may be so far ahead of our clock: clocks differ. */
const GRACE_MINUTES = 5

/** One fact of an input: exactly one kind, which `readFact` reads by its own shape. */
export const oneFact = z.strictObject(Object.fromEntries(FACT_INPUT_KEYS.map((key) => [key, z.unknown().optional()])))
const shape = z.strictObject({ facts: z.array(oneFact).min(1).max(MOST_FACTS) })

/** What recording answers. */
export interface Recorded {
  revision: number
  /** The facts, in the order of the input; one that was said before is the first one. */
  ids: string[]
  /** What the repair did to the plan in force; absent where none is. */
  repaired?: Pick<Repaired, 'before' | 'carried' | 'after'>
}

/**
 * Records facts in their order, all or none. Throws `InvalidInput` with everything that is wrong, and `Conflict` where a
 * reference was used for another fact.
 */
export async function recordFacts(actor: PlanningActor, input: unknown, saidBy: string): Promise<Recorded> {
  const reading = readInput(shape, input)
  const items = reading.given.facts.map((fact, index) => readFact(fact, `facts[${index}]`))
  const { result, revision } = await withDistributorLock(actor, actor.distributorId, (locked) =>
    recordLocked(actor, locked, reading, items, saidBy),
  ).catch((error: unknown) => {
    throw refusedByDatabase(error) ?? error
  })
  const { snapshot, ids, repaired } = result
  if (snapshot) actor.snapshots.keep({ ...snapshot, revision })
  return { revision, ids, ...(repaired ? { repaired } : {}) }
}

/** A fact of an input, read by its kind's shape. */
export interface Item extends ReadFact {
  path: string
  contentHash: string
}

/** Reads one fact of an input, which stands at `place`, by its kind's shape. */
export function readFact(fact: Record<string, unknown>, place: string): Item {
  const keys = FACT_INPUT_KEYS.filter((key) => fact[key] !== undefined && fact[key] !== null)
  const [key = 'reading'] = keys
  const path = `${place}.${key}`
  const within = (field: string) => (field === '' ? path : `${path}.${field}`)
  const { reading, mean } = FACT_INPUTS[key].read(fact[key] ?? {})
  const oneOf = keys.length === 1 ? [] : [issue(place, 'NOT_BOTH', 'say exactly one thing that happened')]
  const issues = [...reading.issues.map((each) => ({ ...each, path: within(each.path) })), ...oneOf]
  const content = JSON.stringify([key, fact[key]], (name, value: unknown) => (name === 'reference' ? undefined : value))
  return {
    ...{ path, mean },
    reading: { ...reading, issues, unread: reading.unread.map(within) },
    contentHash: createHash('sha256').update(content).digest('hex'),
  }
}

interface RecordedLocked {
  ids: string[]
  snapshot?: Repaired['snapshot']
  repaired?: Recorded['repaired']
}

async function recordLocked(
  actor: PlanningActor,
  locked: Locked,
  reading: Reading<unknown>,
  items: readonly Item[],
  saidBy: string,
): Promise<RecordedLocked> {
  const { tx, revision } = locked
  const { distributorId, clock } = actor
  const refs = new References(tx, distributorId)
  refs.take(reading)
  for (const { reading: each } of items) refs.take(each)
  const inForce = await planInForce(actor, locked)
  const writing = await beginFacts(tx, distributorId, revision + 1, clock.now())
  const ids: string[] = []
  const done: CarriedOut[] = []
  let plan = inForce?.plan
  let isNew = false
  for (const item of items) {
    const known = await saidBefore(writing, refs, item)
    if (known !== undefined) {
      ids.push(known)
      continue
    }
    const spoken = await meaning(actor, locked, refs, item, plan)
    // Where something is wrong nothing is written: the rest is read to find what else is.
    if (!spoken || !refs.isClean) continue
    const { at, reference } = item.reading.given
    const said = { at, reference, contentHash: item.contentHash, saidBy, assumed: false }
    const before = done.length
    ids.push(await recordMeant(locked.log, writing, spoken, said, done))
    isNew = true
    if (plan) plan = planAfter(plan, done.slice(before), [])
  }
  refs.settle()
  if (!isNew) return { ids, ...(inForce ? { repaired: asItIs(inForce.plan) } : {}) }
  const cause = { kind: 'FACTS_RECORDED', type: 'Fact', id: ids.at(-1) ?? '' }
  const repaired = await repairPlan(actor, locked, inForce, { ...writing.change, done }, cause)
  return { ids, ...(repaired ? { snapshot: repaired.snapshot, repaired } : {}) }
}

/** The plan in force where nothing has happened that it did not know. */
function asItIs(plan: Plan): Recorded['repaired'] {
  return { before: plan, carried: plan, after: plan }
}

/** The fact that was recorded with the same reference; a conflict is noted where it said something else. */
async function saidBefore(
  { tx, distributorId }: FactWriting,
  refs: References,
  { path, contentHash, reading: { given } }: Item,
): Promise<string | undefined> {
  const { reference } = given
  if (reference === undefined) return undefined
  const known = await tx.fact.findUnique({ where: { distributorId_reference: { distributorId, reference } } })
  if (!known) return undefined
  if (known.contentHash === contentHash) return known.id
  refs.refuse(`${path}.reference`, new Conflict('REFERENCE_USED', `Another fact was recorded as "${reference}".`))
  return known.id
}

/** A fact as it is meant, with the day on which it happened. */
export interface Spoken {
  meant: Meant
  on: LocalDate
}

/** What an item means for the records as they are; undefined where something is wrong, which is noted. */
export async function meaning(
  { clock, distributorId }: PlanningActor,
  { tx }: Locked,
  refs: References,
  { path, mean, reading: { given } }: Item,
  plan: Plan | undefined,
  corrects?: Fact,
): Promise<Spoken | undefined> {
  let on: LocalDate | undefined
  const at = (field: string) => `${path}.${field}`
  const dayAt = (site: { timeZone: string }): LocalDate => {
    const today = todayIn(clock, site.timeZone)
    const ofInstant = given.at === undefined ? undefined : localDateOf(wallClock(given.at, site.timeZone).day)
    const day = given.on ?? ofInstant ?? today
    const latest = new Date(clock.now().getTime() + GRACE_MINUTES * 60_000)
    if (given.at !== undefined && new Date(given.at) > latest)
      refs.note(issue(at('at'), 'FACT_IN_FUTURE', `${given.at} has not come yet`))
    else if (day > localDateOf(wallClock(latest.toISOString(), site.timeZone).day))
      refs.note(issue(at('on'), 'FACT_IN_FUTURE', `${day} is after today, ${today}`))
    if (given.on !== undefined && ofInstant !== undefined && given.on !== ofInstant)
      refs.note(issue(at('on'), 'NOT_BOTH', `${given.at} is on ${ofInstant} at the site, not on ${given.on}`))
    on = day
    return day
  }
  const context: FactContext = {
    ...{ tx, distributorId, refs, plan, path: at, dayAt, corrects },
    note: (...issues) => refs.note(...issues),
  }
  const meant = await mean(context)
  if (!meant || on === undefined) return undefined
  await noteBeforeOpening(context, meant, on, given.on === undefined && given.at !== undefined ? 'at' : 'on')
  return { meant, on }
}

/** Notes that the records of a thing begin after the day on which something is said to have happened to it. */
async function noteBeforeOpening(
  { tx, distributorId, note, path }: FactContext,
  { subjects }: Meant,
  on: LocalDate,
  field: 'at' | 'on',
): Promise<void> {
  if (subjects.length === 0) return
  const opening = await tx.fact.findFirst({
    where: {
      ...{ distributorId, ...EFFECTIVE, kind: { in: ['BATCH_OPENING', 'LOT_OPENING'] }, on: { gt: dateOf(on) } },
      subjects: { some: { OR: subjects.map(({ kind, id: subjectId }) => ({ kind, subjectId })) } },
    },
    orderBy: { on: 'desc' },
  })
  if (opening)
    note(issue(path(field), 'BEFORE_OPENING', `${on} is before ${dayOf(opening.on)}, when the records of it begin`))
}

/** Writes what is meant, what it implies first, and logs it. */
async function recordMeant(
  log: Log,
  writing: FactWriting,
  { meant, on }: Spoken,
  said: Omit<SaidOf, 'on'>,
  done: CarriedOut[],
): Promise<string> {
  for (const implied of meant.implied ?? []) {
    const spoken = { meant: implied, on: dayOfImplied(implied, on) }
    await recordMeant(log, writing, spoken, { contentHash: '', saidBy: said.saidBy, assumed: true }, done)
  }
  const replaces = await assumedBefore(writing, meant)
  const warnings = [...meant.warnings, ...(await saidTwice(writing, said.contentHash, on))]
  const id = await writeFact(writing, { ...meant, warnings }, { ...said, on, replaces })
  done.push(...meant.carriedOut)
  log('FACT_RECORDED', { type: 'Fact', id }, undefined, { kind: meant.happened.kind, on, siteId: meant.siteId })
  return id
}

/** The warning that the same was said of the day before, under another reference or none. */
async function saidTwice(
  { tx, distributorId }: FactWriting,
  contentHash: string,
  on: LocalDate,
): Promise<Meant['warnings']> {
  if (contentHash === '') return []
  const before = await tx.fact.findFirst({ where: { distributorId, contentHash, on: dateOf(on), ...EFFECTIVE } })
  const message = 'The same was recorded of that day before: withdraw one of the two if it happened once.'
  return before ? [{ code: 'SAID_BEFORE', message }] : []
}

function dayOfImplied({ carriedOut }: Meant, on: LocalDate): LocalDate {
  const fill = carriedOut.find((each) => each.kind === 'FILL')
  return fill && fill.on < on ? fill.on : on
}

/** Facts that were assumed of the same decision: what is said replaces them. */
async function assumedBefore({ tx, distributorId }: FactWriting, { decision, happened }: Meant): Promise<string[]> {
  if (!decision) return []
  const rows = await tx.fact.findMany({
    where: {
      ...{ distributorId, ...EFFECTIVE, assumed: true, kind: happened.kind },
      ...{ decisionKind: decision.kind, decisionId: decision.id },
    },
    select: { id: true },
  })
  return rows.map(({ id }) => id)
}
