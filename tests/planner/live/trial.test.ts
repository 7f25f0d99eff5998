// Trial placements on problems of every kind: they leave no trace, and the earliest day is the earliest.
import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import type { OrderLine, Problem } from '../../../src/planner/documents/index.ts'
import { addDays, lineWithDefaults } from '../../../src/planner/documents/index.ts'
import { withoutLines } from '../../../src/planner/documents/without-lines.ts'
import { checkPlan, makePlan, openTrial } from '../../../src/planner/index.ts'
import { placeEarliest } from '../../../src/planner/insertion/earliest-insertion.ts'
import { place } from '../../../src/planner/insertion/place.ts'
import { EXACT } from '../../../src/planner/insertion/policy.ts'
import { carryForward } from '../../../src/planner/live/carry-forward.ts'
import { lastServe } from '../../../src/planner/model/batch.ts'
import { compileLine } from '../../../src/planner/model/compile.ts'
import type { LineModel } from '../../../src/planner/model/model.ts'
import { OPTION_SIZE } from '../../../src/planner/model/options.ts'
import type { State } from '../../../src/planner/model/state.ts'
import { UndoLog } from '../../../src/planner/model/undo-log.ts'
import { reopen } from '../../../src/planner/opening/reopen.ts'
import { sampled } from '../../support/sampled.ts'

/** 1225: time runs out overnight. 1332: one line makes room for the other. */
const SEEDS = [...Array.from({ length: 25 }, (_, index) => index + 101), 1225, 1332]

function someLines(problem: Problem, seed: number): OrderLine[] {
  const random = randomFrom(seed)
  const packs = problem.beers.flatMap((beer) => beer.packs)
  return Array.from({ length: 4 }, (_, index) =>
    lineWithDefaults({
      id: `new-${index}`,
      orderId: 'new',
      accountId: random.pick(problem.accounts).id,
      packId: random.pick(packs).id,
      quantity: random.int(1, 10),
      serveOn: addDays(problem.today, random.int(0, problem.horizonDays - 1)),
    }),
  )
}

/** Some pack of the beer of a line. */
function packOfBeer(problem: Problem, { packId }: OrderLine, seed: number): string {
  const packs = problem.beers.find((beer) => beer.packs.some(({ id }) => id === packId))?.packs ?? []
  return randomFrom(seed).pick(packs).id
}

/** First serve day on which a line, which is not splittable, is placed whole where only that day's dispatches are allowed. */
function firstDay(state: State, line: LineModel): number | undefined {
  const { options } = line
  for (let day = 0; day < state.model.horizon; day++) {
    const own: number[] = []
    for (let at = 0; at < options.length; at += OPTION_SIZE)
      if (options[at + 2] === day) own.push(options[at]!, options[at + 1]!, day)
    if (own.length > 0 && place(state, { ...line, options: Uint16Array.from(own), dueOn: day }, EXACT, true)) return day
  }
  return undefined
}

describe.each(sampled(SEEDS, 5, 8))('problem %i', (seed) => {
  const problem = randomProblem(seed)
  const { plan } = makePlan(problem, { steps: 20 })
  const lines = someLines(problem, seed)

  test('asking leaves no trace: what is answered, and what the plan becomes, stays the same', () => {
    const trial = openTrial(problem, plan)
    const before = { plan: trial.commit([]).plan, answers: trial.promise(lines) }
    trial.commit(lines)
    expect(trial.promise(lines)).toEqual(before.answers)
    expect(trial.commit([]).plan).toEqual(before.plan)
  })

  test('a line is not to be had wholly on any day before its earliest, each day tried alone', () => {
    const { state } = reopen(problem, plan)
    for (const each of lines) {
      const log = new UndoLog(state)
      const line = compileLine(state.model, each)
      log.enter(line)
      const found = placeEarliest(state, line)
      const day = found?.delivered === line.quantity ? lastServe(found) : undefined
      expect(day).toBe(firstDay(state, line))
      log.undo()
    }
  })

  test('asked again with the answered days as the latest, each line is served no later', () => {
    const trial = openTrial(problem, plan)
    const answersTo = (asked: OrderLine[]) => trial.promise(asked, { unexplained: true })
    const answers = answersTo(lines)
    const again = answersTo(
      lines.map((line, index) => {
        const { serveOn, served, quantity } = answers[index]!
        return serveOn && served === quantity ? { ...line, latestServeOn: serveOn, promisedOn: serveOn } : line
      }),
    )
    for (const [index, { served, quantity, serveOn }] of answers.entries()) {
      if (served < quantity || !serveOn) continue
      expect(again[index]?.served).toBe(quantity)
      expect((again[index]?.serveOn ?? 'never') <= serveOn).toBe(true)
    }
  })

  test('two lines are served by the same day whichever of them is named first', () => {
    const trial = openTrial(problem, plan)
    const [a, b] = lines
    // The same beer, so that the one may take what the other needs.
    const rival = { ...b!, packId: packOfBeer(problem, a!, seed), serveOn: a!.serveOn }
    const last = (asked: OrderLine[]) => {
      const answers = trial.promise(asked, { unexplained: true })
      if (answers.some(({ served, quantity }) => served < quantity)) return 'not whole'
      return answers
        .map(({ serveOn }) => serveOn)
        .sort()
        .at(-1)
    }
    expect(last([a!, rival])).toBe(last([rival, a!]))
  })

  test('a plan that holds is held as it is', () => {
    expect(carryForward(problem, plan).plan).toBe(plan)
  })

  test('a day later the plan holds as far as it can, and what is made of it is valid', () => {
    const frozenDays = 0
    const later: Problem = {
      ...problem,
      frozenDays,
      today: addDays(problem.today, 1),
      horizonDays: problem.horizonDays,
    }
    const held = carryForward(later, plan).trial.commit([]).plan
    const { violations } = checkPlan({ ...later, baseline: held }, held)
    expect(violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
  })

  test('a plan without a line gives it nothing, and opens as a valid plan', () => {
    const gone = plan.deliveries[0]?.orderLineId
    if (gone === undefined) return
    const left = { ...problem, orderLines: problem.orderLines.filter(({ id }) => id !== gone) }
    const { trial } = carryForward(left, withoutLines(problem, plan, new Set([gone])))
    const { plan: without } = trial.commit([])
    expect(without.deliveries.some(({ orderLineId }) => orderLineId === gone)).toBe(false)
    const { violations } = checkPlan({ ...left, baseline: without }, without)
    expect(violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
  })
})
