// A season of the demo's brewery: day after day it brews, fills, sends and sells by the plan in force, through the API alone, and
// what goes wrong is drawn from a seed. After every change, or every day, the records are looked at.
import { z } from 'zod'
import { REGULARS, type Regular } from '../../seeds/demo/accounts.ts'
import { oneSite } from '../../seeds/demo/one-site.ts'
import { demoScenario } from '../../seeds/demo.ts'
import { type Random, randomFrom } from '../../seeds/random.ts'
import { createApp } from '../../src/app.ts'
import type { SetClock } from '../../src/clock.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import { jobsOf } from '../../src/jobs/kinds.ts'
import { addDays, type LocalDate } from '../../src/planner/documents/index.ts'
import { makePlan } from '../../src/planner/index.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { makeDemoKeys } from '../../src/resolvers/access/demo-keys.ts'
import { planHere } from '../serving/plan-here.ts'
import { SeasonApi } from './api.ts'
import { cellarDay } from './cellar-day.ts'
import { Checks } from './checks.ts'
import { Diary } from './diary.ts'
import { empties } from './empties.ts'
import { PlanMovement, type SeasonFigures, seasonFigures } from './figures.ts'
import { arrivals, brewDay, fillDay, vans } from './floor-day.ts'
import { confirmAssumed, correctSaid } from './late-facts.ts'
import { Mishaps } from './mishaps.ts'
import { draftAndAdopt } from './planner-day.ts'
import { recallDay } from './recall.ts'
import { changesOfMind, habitualOrders } from './sales-day.ts'
import { seedIds } from './seeded-ids.ts'
import { anything, pageOf } from './shapes.ts'
import { newMemory, type Shift } from './shift.ts'

export interface SeasonOptions {
  client: PrismaClient
  /** Set by the season, from the first day at 05:00 UTC on. */
  clock: SetClock
  firstDay: LocalDate
  days: number
  seed: number
  /** The whole demo, or its smaller site alone. */
  brewery: 'BOTH_SITES' | 'HITHELOW'
  /** Has every kind of mishap happen within the first days, and not by chance alone. */
  everyMishap?: boolean
  unsaidWork: 'ASSUMED' | 'DUE_UNTIL_SAID'
  /** What becomes of better plans that are found after facts. */
  betterPlans: 'NEVER' | 'OFFERED' | 'ADOPTED'
  /** Whether the planner makes a draft now and then, and adopts it. */
  drafts: boolean
  /** Steps of search of each draft and better plan. */
  steps: number
  /** Looks at the records after every change instead of every day. */
  everyChange: boolean
}

export interface DayOfSeason {
  day: LocalDate
  diary: Diary
  /** Whether the server slept: nothing was asked and nothing said. */
  slept: boolean
  /** Promises that stand in the evening, and how many of them the plan in force does not keep. */
  evening?: { promises: number; late: number }
}

interface SeasonJobs {
  /** Begins what is due, and waits until nothing is under way. */
  settled(): Promise<void>
  /** Ends them. */
  close(): Promise<void>
}

/** What a season begins with. */
interface Opened {
  api: SeasonApi
  crashes: unknown[]
  regulars: readonly Regular[]
  jobs: SeasonJobs
}

const DEMO_ID = 'demo'
/** A draft is made every so many days. */
const DAYS_BETWEEN_DRAFTS = 3
const NIGHTS_ASLEEP = 3
/** From memory: an ale of usual strength. */
const FINAL_GRAVITY = 1.01
const SET_UP = '{ beers { edges { node { id } } } sites { edges { node { id } } } }'
const withId = pageOf(z.object({ id: z.string() }))
const setUpShape = z.object({ beers: withId, sites: withId })

export class Season {
  readonly api: SeasonApi
  readonly checks: Checks
  /** Faults of the server, which none should be. */
  readonly crashes: unknown[]
  readonly mishaps: Mishaps
  readonly #options: SeasonOptions
  readonly #jobs: SeasonJobs
  readonly #random: Random
  readonly #regulars: readonly Regular[]
  readonly #memory = newMemory()
  readonly #movement = new PlanMovement()

  private constructor(options: SeasonOptions, { api, crashes, jobs, regulars }: Opened) {
    this.api = api
    this.crashes = crashes
    this.#regulars = regulars
    const { client, clock, firstDay, everyMishap = false } = options
    this.mishaps = new Mishaps(everyMishap ? firstDay : undefined)
    this.checks = new Checks({ client, clock, distributorId: DEMO_ID, documents: () => api.documents() })
    this.#options = options
    this.#jobs = jobs
    this.#random = randomFrom(options.seed)
    api.onChange = async (what) => {
      if (options.everyChange) await this.checks.afterChange(what)
      // What a change leads to in the background is over before the next: a season is the same each time.
      await jobs.settled()
    }
  }

  /** Fills an empty database with the demo, with a plan in force. */
  static async open(options: SeasonOptions): Promise<Season> {
    const { client, clock, firstDay, seed, steps, brewery } = options
    const unseed = seedIds(randomFrom(seed).fork('ids'))
    clock.set(`${firstDay}T05:00:00Z`)
    const whole = demoScenario(firstDay)
    const scenario = brewery === 'HITHELOW' ? oneSite(whole, 'hithelow') : whole
    const baseline = makePlan(scenario.problem, { steps }).plan
    const planned = { ...scenario, problem: { ...scenario.problem, baseline } }
    const keys = await client.$transaction(async (tx) => {
      await saveSetup(tx, DEMO_ID, planned, clock.now())
      return makeDemoKeys(tx, DEMO_ID, clock.now())
    })
    const crashes: unknown[] = []
    const services = { client, clock, onFault: (error: unknown) => crashes.push(error) }
    const plan: typeof planHere = (problem, { seed, steps: given = steps }, how) =>
      planHere(problem, { seed, steps: given }, how)
    const jobs = jobsOf({ ...services, plan }, { planningThreads: 1 })
    const api = new SeasonApi(createApp({ ...services, jobs, keyQuotas: { requests: Infinity, cost: Infinity } }), keys)
    const close = async () => {
      await jobs.stop()
      unseed()
    }
    const settled = async () => {
      jobs.wake()
      await jobs.settled()
    }
    const here = new Set(planned.problem.accounts.map(({ id }) => id))
    const regulars = REGULARS.filter(({ account }) => here.has(account.id))
    const season = new Season(options, { api, crashes, regulars, jobs: { settled, close } })
    await season.checks.begin()
    await season.#setUp()
    return season
  }

  /** What the set-up says of unsaid work, and the gravity at which each beer is expected to end. */
  async #setUp(): Promise<void> {
    const { betterPlans, unsaidWork } = this.#options
    const { beers, sites } = await this.api.ask('admin', setUpShape, SET_UP)
    for (const { id } of beers)
      await this.api.change(
        'admin',
        ['changeBeer', 'BeerPayload'],
        { beer: { id }, finalGravity: FINAL_GRAVITY },
        anything,
        'revision',
      )
    const policy = { betterPlans }
    await this.api.change('admin', ['changeDistributor', 'DistributorPayload'], policy, anything, 'revision')
    for (const { id } of sites)
      await this.api.change('admin', ['changeSite', 'SitePayload'], { site: { id }, unsaidWork }, anything, 'revision')
  }

  /** Lives through the season, day by day. */
  async *days(): AsyncGenerator<DayOfSeason> {
    const { firstDay, days } = this.#options
    let asleep = 0
    for (let n = 0; n < days; n++) {
      const day = addDays(firstDay, n)
      const random = this.#random.fork(day)
      const diary = new Diary()
      if (asleep === 0 && n > 0 && this.mishaps.strikes('sleeps', random.fork('sleep'), day)) asleep = NIGHTS_ASLEEP
      if (asleep > 0) {
        asleep -= 1
        yield { day, diary, slept: true }
        continue
      }
      const evening = await this.#live(day, n, random, diary)
      yield { day, diary, slept: false, evening }
    }
  }

  /** The figures of the season so far. */
  figures(): Promise<SeasonFigures> {
    return seasonFigures(this.#options.client, DEMO_ID, this.#movement)
  }

  /** Ends its jobs; the database stays open. */
  close(): Promise<void> {
    return this.#jobs.close()
  }

  /** What each part of a day is lived with. */
  #shifts(day: LocalDate, ofDay: Random, diary: Diary): (part: string) => Shift {
    return (part) => {
      const random = ofDay.fork(part)
      const strikes: Shift['strikes'] = (kind) => this.mishaps.strikes(kind, random, day)
      return { api: this.api, day, random, diary, strikes, memory: this.#memory, regulars: this.#regulars }
    }
  }

  async #live(day: LocalDate, n: number, random: Random, diary: Diary): Promise<DayOfSeason['evening']> {
    const { clock, firstDay, steps, unsaidWork, drafts } = this.#options
    const shift = this.#shifts(day, random, diary)
    clock.set(`${day}T05:30:00Z`)
    await this.api.ask('planner', anything, '{ distributor { name } }')
    if (this.#options.everyChange) await this.checks.afterChange('the day begins')
    clock.set(`${day}T07:00:00Z`)
    await confirmAssumed(shift('assumed'), unsaidWork)
    await correctSaid(shift('said'))
    await cellarDay(shift('cellar'))
    await recallDay(shift('recall'))
    await habitualOrders(shift('habits'), firstDay)
    clock.set(`${day}T10:00:00Z`)
    await brewDay(shift('brews'))
    await changesOfMind(shift('changes'))
    clock.set(`${day}T12:00:00Z`)
    await fillDay(shift('fills'))
    clock.set(`${day}T14:00:00Z`)
    await vans(shift('vans'))
    await arrivals(shift('arrivals'))
    await empties(shift('empties'))
    clock.set(`${day}T17:00:00Z`)
    if (drafts && n % DAYS_BETWEEN_DRAFTS === 1) await draftAndAdopt(shift('planner'), steps, this.#jobs.settled)
    const { problem, plan } = await this.checks.afterChange('the day ends')
    this.#movement.evening({ problem, plan })
    await this.checks.endOfDay(this.#memory.said, this.#memory.answered.splice(0))
    const promises = problem.orderLines.filter(({ promisedOn }) => promisedOn !== undefined).length
    return { promises, late: plan.brokenPromises?.length ?? 0 }
  }
}
