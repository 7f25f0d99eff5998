// The real thing beside the model: a distributor of its own for each sequence of commands, and what must always be true of
// its records.
import { expect } from 'vitest'
import { lastCasksScenario } from '../../seeds/last-casks.ts'
import { SetClock, todayIn } from '../../src/clock.ts'
import { dayOf } from '../../src/database/calendar-day.ts'
import { checkPlan, makePlan } from '../../src/planner/index.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { Snapshots } from '../../src/records/snapshots.ts'
import { CommandExecutor } from '../../src/resolvers/commands/executor.ts'
import { rollDays } from '../../src/resolvers/floor/roll-days.ts'
import type { PlanningActor } from '../../src/resolvers/planning-actor.ts'
import { readPlanDocuments } from '../../src/resolvers/plans/plan-documents.ts'
import { promise } from '../../src/resolvers/promise/promise.ts'
import { openPromiseSession } from '../../src/resolvers/promise/promise-session.ts'
import { Checks, type Documents } from '../../tools/seasons/checks.ts'
import { emptyDatabase, type TestDatabase } from '../support/database.ts'
import { testJobs } from '../support/jobs.ts'
import { KeptRows } from '../support/kept-rows.ts'
import { holds, type Model } from './model.ts'
import { readThings, type Things } from './things.ts'

const ZONE = 'Etc/UTC'
export const ACCOUNT = { externalRef: 'A-1' }
export const PACK = { externalRef: 'ale-firkin' }

/** What became of a call: its answer, or the code with which it was refused. */
export type Tried<Answer> = { ok: true; answer: Answer } | { ok: false; code: string }

export class Brewery {
  readonly actor: PlanningActor
  readonly faults: unknown[] = []
  readonly #clock: SetClock
  readonly #checks: Checks
  /** The records as they were when they were held to the rules last. */
  #looked: { state: string; steps: number; documents: Documents } | undefined

  private constructor({ client }: TestDatabase, distributorId: string, now: number) {
    this.#clock = new SetClock(new Date(now))
    const documents = () => this.documents()
    this.#checks = new Checks({ client, clock: this.#clock, distributorId, documents })
    const services = { client, clock: this.#clock, onFault: (error: unknown) => this.faults.push(error) }
    this.actor = {
      ...services,
      distributorId,
      snapshots: new Snapshots(),
      executor: new CommandExecutor(),
      // Without threads, which take longer to start than the search.
      jobs: testJobs(services, 1, 20),
      newPlanEffort: { steps: 20 },
    }
  }

  /**
   * A distributor with the last casks, a plan in force, and a clock of its own, alone in the database: jobs that an earlier one
   * left would be done for this one's.
   */
  static async open(database: TestDatabase, distributorId: string, now: number): Promise<Brewery> {
    await emptyDatabase(database.pool)
    const brewery = new Brewery(database, distributorId, now)
    const { actor } = brewery
    const documents = await opening.write(database.pool, String(now), distributorId, async () => {
      const scenario = lastCasksScenario(todayIn(actor.clock, ZONE), ZONE)
      const problem = { ...scenario.problem, baseline: makePlan(scenario.problem, { steps: 0 }).plan }
      await actor.client.$transaction((tx) => saveSetup(tx, distributorId, { ...scenario, problem }, actor.clock.now()))
      await rollDays(actor)
      return brewery.documents()
    })
    await brewery.#checks.begin(documents)
    return brewery
  }

  /** On a new day the days that are over are rolled, as the first request of the day does. */
  async setClock(now: number): Promise<void> {
    const before = todayIn(this.#clock, ZONE)
    this.#clock.set(new Date(now))
    if (todayIn(this.#clock, ZONE) !== before) await rollDays(this.actor)
  }

  /** What so many casks for a day are promised now. */
  async ask(quantity: number, serveOn: string) {
    return promise(this.actor, { account: ACCOUNT, serveOn, lines: [{ pack: PACK, quantity }] })
  }

  /** Makes a call; where it is refused, nothing was written. */
  async try<Answer>(call: () => Promise<Answer>): Promise<Tried<Answer>> {
    const before = await this.revision()
    try {
      return { ok: true, answer: await call() }
    } catch (error) {
      const code = error instanceof Error && 'code' in error ? String(error.code) : ''
      if (!/^[A-Z_]+$/.test(code)) throw error
      expect(await this.revision()).toBe(before)
      return { ok: false, code }
    }
  }

  async revision(): Promise<number> {
    return (await this.#distributor()).revision
  }

  /** Days that plans reach. */
  async horizonDays(): Promise<number> {
    return (await this.#distributor()).horizonDays
  }

  #distributor() {
    const { client, distributorId } = this.actor
    return client.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  }

  /** The promised day of a line as the records have it. */
  async promisedOn(externalRef: string): Promise<string | null> {
    const { client, distributorId } = this.actor
    const line = await client.orderLine.findUniqueOrThrow({
      where: { distributorId_externalRef: { distributorId, externalRef } },
    })
    return line.promisedOn && dayOf(line.promisedOn)
  }

  /** The records and the plan in force. */
  async documents(): Promise<Documents> {
    const { plan, ...documents } = await readPlanDocuments(this.actor)
    if (!plan) throw new Error('no plan is in force')
    return { ...documents, plan }
  }

  /** The same as they were looked at last, where neither revision nor clock moved since: reading them takes longer than most commands. */
  async seenDocuments(): Promise<Documents> {
    return this.#looked?.state === (await this.#state()) ? this.#looked.documents : this.documents()
  }

  /** What facts and changes of set-up can be about. */
  async things(): Promise<Things> {
    return readThings(this.actor, await this.seenDocuments())
  }

  async #state(): Promise<string> {
    return `${await this.revision()} at ${this.#clock.now().toISOString()}`
  }

  /**
   * Holds the records to the model and to the rules: the plan in force is valid for the records, what it does not keep was said by
   * the change that broke it, and the ledger gives the tables. Where neither revision nor clock moved since it was looked at last,
   * as after what was refused, it looks at the lines alone, and at the rest at the end of the sequence.
   */
  async expectLike(model: Model, after: string, isEnd = false): Promise<void> {
    const refs = await this.expectLines(model)
    expect(this.faults).toEqual([])
    const state = await this.#state()
    const { steps } = model
    if (isEnd ? this.#looked?.steps === steps : this.#looked?.state === state) return
    const documents = await this.#checks.afterChange(after)
    this.#looked = { state, steps, documents }
    await this.#checks.books()
    expect(this.#checks.faults).toEqual([])
    await this.#expectPromisesHold(model, refs)
  }

  /** The rows say of each line what the model says of it, and what facts made of it. Answers the references of lines by id. */
  async expectLines(model: Model): Promise<Map<string, string | null>> {
    const { client, distributorId } = this.actor
    const lines = await client.orderLine.findMany({
      where: { distributorId },
      include: { order: { select: { status: true } } },
    })
    for (const holding of model.holdings) {
      const line = lines.find(({ externalRef }) => externalRef === `line-${holding.n}`)
      // A reservation that ran out may wait for the next write to be marked.
      const marked = holding.reservation === 'EXPIRED' && line?.status === 'RESERVED' ? 'LAPSED' : line?.status
      const { dispatched = 0, closedShort = 0 } = line ?? {}
      // Facts come and go: what has left and arrived is what they say, of orders alone.
      if (holding.status === 'OPEN' || holding.status === 'DELIVERED') {
        expect(['OPEN', 'DELIVERED']).toContain(marked)
        holding.status = marked === 'DELIVERED' ? 'DELIVERED' : 'OPEN'
        holding.gone = dispatched + closedShort
      }
      expect({ marked, gone: dispatched + closedShort }).toEqual({ marked: holding.status, gone: holding.gone })
      expect(line?.order.status).toBe(line?.status)
    }
    expect(lines.length).toBe(model.holdings.length)
    return new Map(lines.map(({ id, externalRef }) => [id, externalRef]))
  }

  /** The plan that questions are answered from, without what ran out and with what facts broke placed anew, keeps all promises. */
  async #expectPromisesHold(model: Model, refs: ReadonlyMap<string, string | null>): Promise<void> {
    const { snapshot } = await openPromiseSession(this.actor)
    const { problem } = snapshot
    // Who has something: just those of the model, as the model knows them.
    expect(
      problem.orderLines
        .map(({ id, quantity, serveOn, promisedOn = null }) => ({ line: refs.get(id), quantity, serveOn, promisedOn }))
        .sort((a, b) => ((a.line ?? '') < (b.line ?? '') ? -1 : 1)),
    ).toEqual(
      model.holdings
        .filter((holding) => holds(holding) && holding.gone < holding.quantity)
        .map(({ n, quantity, gone, serveOn, promisedOn }) => ({
          ...{ line: `line-${n}`, quantity: quantity - gone, serveOn, promisedOn },
        }))
        .sort((a, b) => (a.line < b.line ? -1 : 1)),
    )
    const plan = snapshot.inForce?.held().plan
    if (!plan) throw new Error('no plan is in force')
    expect(checkPlan(problem, plan).violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
    const broken = new Set(plan.brokenPromises?.map(({ orderLineId }) => orderLineId))
    for (const { id, quantity, promisedOn } of problem.orderLines) {
      // After a fact it may be broken, and the plan lists it.
      if (promisedOn === undefined || (model.disturbed && broken.has(id))) continue
      const kept = plan.deliveries
        .filter(({ orderLineId, serveOn }) => orderLineId === id && serveOn <= promisedOn)
        .flatMap(({ from }) => from)
        .reduce((sum, { quantity }) => sum + quantity, 0)
      expect(kept).toBe(quantity)
    }
  }
}

/** What a sequence begins with. */
const opening = new KeptRows<Documents>()
