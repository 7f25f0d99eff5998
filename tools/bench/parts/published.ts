// Published instances of two families that the planning problem contains, against the published values.
import { type PublishedInstance, publishedFolder, readPublished } from '../../benchmarks/published.ts'
import { number, type Part, percent, type Report } from '../part.ts'
import { mean } from '../statistics.ts'
import { timedPlan } from '../timed-plan.ts'

export const published: Part = {
  name: 'published',
  about: 'weighted tardiness (125 × 40 jobs) and capacitated lot sizing (F1–F10) against published values',
  run(report) {
    const folder = publishedFolder(report.options.folder)
    if (folder === undefined) {
      report.say('Skipped: give the folder of the instances with --folder, or in FILLWRIGHT_BENCHMARKS.')
      return
    }
    const { weightedTardiness, lotSizing } = readPublished(folder)
    tardiness(report, report.quick ? weightedTardiness.filter((_, index) => index % 25 === 0) : weightedTardiness)
    lots(report, report.quick ? lotSizing.slice(0, 3) : lotSizing)
  },
}

/** Whole numbers: the instance's value, reached exactly. */
const exact = (cost: number, value: number) => Math.abs(cost - value) < 0.5

function tardiness(report: Report, instances: readonly PublishedInstance[]): void {
  const seconds = report.quick ? 0.5 : 2
  const found = instances.map(({ name, problem, value }) => {
    const { plan, steps } = timedPlan(report, name, problem, seconds)
    const { late } = plan.cost.terms
    if (late < value - 0.5 && name !== BEST_KNOWN) report.fault(`${name}: ${late} is below the optimum ${value}`)
    return { name, value, late, steps, unserved: plan.unserved.length }
  })
  report.say(`\nWeighted tardiness, ${seconds} s each:`)
  // All 125 rows would hide the sums; the worst say where the search is weak.
  const worst = [...found].sort((a, b) => b.late - b.value - (a.late - a.value)).slice(0, 10)
  report.table(
    ['ten worst', 'published', 'found', 'over', 'unserved', 'steps'],
    worst.map(({ name, value, late, unserved, steps }) => [
      name,
      value,
      number(late),
      number(late - value),
      unserved,
      steps,
    ]),
  )
  const sum = found.reduce((total, { late }) => total + late, 0)
  const best = found.reduce((total, { value }) => total + value, 0)
  const missed = found.filter(({ late, value }) => !exact(late, value)).length
  report.say(`${found.length - missed} of ${found.length} at the published value.`)
  report.goal('sum over the sum of published values', sum / best - 1, 0.02, percent)
  report.goal('instances not at the published value', missed, 45, String)
}

/** The one instance of the family whose published value is the best known, not proven. */
const BEST_KNOWN = 'wt40-19'

function lots(report: Report, instances: readonly PublishedInstance[]): void {
  const seconds = report.quick ? 1 : 5
  const found = instances.map(({ name, problem, value }) => {
    const { cost, steps, plan } = timedPlan(report, name, problem, seconds)
    // Published lots may be fractional, so whole containers are never cheaper; the optimum's relative gap was 1e-6.
    if (cost < value * (1 - 1e-5) - 1) report.fault(`${name}: ${cost} is below the optimum ${value}`)
    return { name, value, cost, gap: cost / value - 1, unserved: plan.unserved.length, steps }
  })
  report.say(`\nCapacitated lot sizing, ${seconds} s each:`)
  report.table(
    ['instance', 'published', 'found', 'gap', 'unserved', 'steps'],
    found.map(({ name, value, cost, gap, unserved, steps }) => [
      name,
      value,
      number(cost),
      percent(gap),
      unserved,
      steps,
    ]),
  )
  report.goal('mean gap', mean(found.map(({ gap }) => gap)), 0.03, percent)
}
