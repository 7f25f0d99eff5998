// What is meant by a fact that someone says: what happened, on which day, and in whose place it comes.
import { type Clock, todayIn } from '../../clock.ts'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { type Issue, issue } from '../../errors.ts'
import type { Fact } from '../../floor/facts/fact.ts'
import { type LocalDate, localDateOf, type Plan, wallClock } from '../../planner/documents/index.ts'
import { EFFECTIVE } from '../../records/fact-rows.ts'
import type { References } from '../thing-ref.ts'
import type { FactContext, Meant, ReadFact, Said } from './fact-kind.ts'
import { type Assumed, findAssumed } from './said-before.ts'
import { type FactWriting, takeBack } from './write-fact.ts'

/** A fact may be so far ahead of our clock: clocks differ. */
const GRACE_MINUTES = 5

/** A fact of an input, read by its kind's shape. */
export interface Item extends ReadFact {
  path: string
  contentHash: string
}

/** Where it is said, and by which clock. */
export interface Saying {
  tx: TransactionClient
  distributorId: string
  clock: Clock
  refs: References
  /** The plan in force after the facts before this one; undefined where there is none. */
  plan: Plan | undefined
  /** What it comes in the place of: the fact that it corrects, which has been taken back, or what was assumed, which it takes back itself. */
  inPlaceOf: { corrects: Fact } | { writing: FactWriting; id: string }
}

/** A fact as it is meant, with the day on which it happened. */
export interface Spoken {
  meant: Meant
  on: LocalDate
  /** The assumed fact in whose place it comes, which has been taken back. */
  replaced: Fact | undefined
}

/** What an item means for the records as they are; undefined where something is wrong, which is noted. */
export async function meaning(saying: Saying, { path, mean, reading: { given } }: Item): Promise<Spoken | undefined> {
  const { tx, distributorId, clock, refs, plan, inPlaceOf } = saying
  const taken: { on?: LocalDate; assumed?: Assumed | undefined } = {}
  const at = (field: string) => `${path}.${field}`
  const noted = new Set<string>()
  const context: FactContext = {
    ...{ tx, distributorId, refs, plan, path: at, isAssumed: false },
    ...('corrects' in inPlaceOf ? { corrects: inPlaceOf.corrects } : {}),
    // A kind may look for the same thing more than once.
    note: (...issues) => refs.note(...issues.filter((each) => isNew(each, noted))),
    dayAt: ({ timeZone }) => {
      const before = 'corrects' in inPlaceOf ? inPlaceOf.corrects : taken.assumed?.fact
      const { day, faults } = dayOfFact(given, dayBefore(before), { clock, timeZone, at })
      context.note(...faults)
      taken.on = day
      return day
    },
    takeAssumed: async (which) => {
      if ('corrects' in inPlaceOf || taken.assumed) return undefined
      const { writing, id } = inPlaceOf
      taken.assumed = await findAssumed(writing, which)
      if (taken.assumed) await takeBack(writing, [taken.assumed.fact.id], id)
      return taken.assumed?.fact
    },
  }
  const meant = await mean(context)
  const { on, assumed } = taken
  if (!meant || on === undefined) return undefined
  await noteBeforeOpening(context, meant, on, given.on === undefined && given.at !== undefined ? 'at' : 'on')
  const decision = meant.decision ?? assumed?.decision
  return { meant: { ...meant, ...(decision ? { decision } : {}) }, on, replaced: assumed?.fact }
}

function isNew(each: Issue, noted: Set<string>): boolean {
  const key = JSON.stringify(each)
  const known = noted.has(key)
  noted.add(key)
  return !known
}

/** The day of the fact in whose place another comes; of what was not done, the day on which it was done is not known. */
function dayBefore(before: Fact | undefined): LocalDate | undefined {
  return before?.kind === 'NOT_DONE' ? undefined : before?.day
}

/** The day on which a fact happened at a site, that of the fact `before` unless it is said, and what is wrong with when it is said to have. */
function dayOfFact(
  given: Said,
  before: LocalDate | undefined,
  { clock, timeZone, at }: { clock: Clock; timeZone: string; at: (field: string) => string },
): { day: LocalDate; faults: Issue[] } {
  const today = todayIn(clock, timeZone)
  const ofInstant = given.at === undefined ? undefined : localDateOf(wallClock(given.at, timeZone).day)
  const day = given.on ?? ofInstant ?? before ?? today
  const latest = new Date(clock.now().getTime() + GRACE_MINUTES * 60_000)
  const faults: Issue[] = []
  if (given.at !== undefined && new Date(given.at) > latest)
    faults.push(issue(at('at'), 'FACT_IN_FUTURE', `${given.at} has not come yet`))
  else if (day > localDateOf(wallClock(latest.toISOString(), timeZone).day))
    faults.push(issue(at('on'), 'FACT_IN_FUTURE', `${day} is after today, ${today}`))
  if (given.on !== undefined && ofInstant !== undefined && given.on !== ofInstant)
    faults.push(issue(at('on'), 'NOT_BOTH', `${given.at} is on ${ofInstant} at the site, not on ${given.on}`))
  return { day, faults }
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
