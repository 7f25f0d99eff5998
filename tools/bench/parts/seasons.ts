// How a brewery fares day after day: the share of promises kept, decisions moved and the cost of a litre, where unsaid work is
// assumed and where it is due until it is said, and with better plans that come into force by themselves.
import { SetClock } from '../../../src/clock.ts'
import { Season, type SeasonOptions } from '../../seasons/season.ts'
import { ownDatabase } from '../../serving/own-database.ts'
import { number, type Part, percent, type Report } from '../part.ts'
import type { Cell } from '../table.ts'

const FIRST_DAY = '2027-03-01'
const SEED = 1
/** Days unless the command says how many. */
const DAYS = 60
const QUICK_DAYS = 5
/** Steps of search of each draft and better plan: the same plans on any machine. */
const STEPS = 100

type Way = Pick<SeasonOptions, 'unsaidWork' | 'betterPlans' | 'drafts'>
type Living = Way & Pick<SeasonOptions, 'brewery'>

const WORDS = { ASSUMED: 'assumed', DUE_UNTIL_SAID: 'due until said' } as const
const drafted = { betterPlans: 'NEVER', drafts: true } as const

/** What is compared, in order, with what each is called. */
const WAYS: readonly (readonly [plans: string, way: Way])[] = [
  ['a draft every three days', { unsaidWork: 'ASSUMED', ...drafted }],
  ['a draft every three days', { unsaidWork: 'DUE_UNTIL_SAID', ...drafted }],
  ['repair alone', { unsaidWork: 'ASSUMED', betterPlans: 'NEVER', drafts: false }],
  ['better plans adopted', { unsaidWork: 'ASSUMED', betterPlans: 'ADOPTED', drafts: false }],
]

export const seasons: Part = {
  name: 'seasons',
  about:
    'a brewery day after day through the API, with all that goes wrong: promises kept, decisions moved, cost per litre',
  async run(report) {
    const days = report.options.days ?? (report.quick ? QUICK_DAYS : DAYS)
    const { setting, brewery = report.quick ? 'HITHELOW' : 'BOTH_SITES' } = report.options
    report.say(`${days} days of ${brewery === 'HITHELOW' ? 'the smaller site of the demo' : 'the demo'}, seed ${SEED}`)
    const rows: Cell[][] = []
    for (const [plans, way] of WAYS)
      if (setting === undefined || setting === way.unsaidWork)
        rows.push(await lived(report, plans, { ...way, brewery }, days))
    const head = [
      'unsaid work',
      'plans',
      'facts said',
      'assumed',
      'promises due',
      'kept',
      'new plans',
      'moved a day',
      'litres',
      'cost of a litre',
    ]
    report.table(head, rows)
  },
}

/** Lives through one season, in a database of its own, and answers its row. */
async function lived(report: Report, plans: string, way: Living, days: number): Promise<Cell[]> {
  const own = await ownDatabase(process.env.TEST_DATABASE_URL)
  const { client, close } = await own.open()
  const season = await Season.open({
    ...{
      client,
      clock: new SetClock(new Date(0)),
      firstDay: FIRST_DAY,
      days,
      seed: SEED,
      steps: STEPS,
      everyChange: false,
    },
    ...way,
  })
  try {
    for await (const _ of season.days());
    report.plans += season.checks.plans
    for (const fault of [...season.checks.faults, ...season.crashes])
      report.fault(`${way.unsaidWork}: ${String(fault)}`)
    const { said, assumed, promisesClosed, promisesKept, plansAdopted, movedPerDay, litresDelivered, costPerLitre } =
      await season.figures()
    return [
      ...[
        WORDS[way.unsaidWork],
        plans,
        said,
        assumed,
        promisesClosed,
        percent(promisesKept / Math.max(1, promisesClosed)),
      ],
      ...[plansAdopted, number(movedPerDay), Math.round(litresDelivered), number(costPerLitre)],
    ]
  } finally {
    await season.close()
    await close()
    await own.drop()
  }
}
