// The worst problems that pass the limits of the API: what each takes to plan and to promise, and how much memory.
import { z } from 'zod'
import { MOST_OPEN_LINES } from '../../../src/resolvers/orders/most-open-lines.ts'
import { MOST_HORIZON } from '../../../src/resolvers/setup/limits.ts'
import { MOST_ROUTE_DAYS } from '../../../src/resolvers/setup/route-days.ts'
import { inOwnProcess } from '../own-process.ts'
import { mebibytes, milliseconds, type Part } from '../part.ts'
import { percentile } from '../statistics.ts'

/** Routes of an account whose every day reaches the limit. */
const MOST_ROUTES = MOST_ROUTE_DAYS / MOST_HORIZON
const SIZES = [
  { lines: 1000, vessels: 40, routes: 1 },
  { lines: 1000, vessels: 40, routes: MOST_ROUTES },
  { lines: 5000, vessels: 100, routes: 1 },
  { lines: 5000, vessels: 100, routes: MOST_ROUTES },
  // As many as there may be: for memory alone, no brewery has them.
  { lines: MOST_OPEN_LINES, vessels: 400, routes: MOST_ROUTES },
]
/** MiB that the largest of them may take: what the smallest rented machines have. */
const MOST_MEMORY = 1024
/** Milliseconds to a plan, which is made in the background. */
const MOST_MS = 120_000

const answer = z.object({
  firstMs: z.number(),
  totalMs: z.number(),
  openMs: z.number(),
  promiseMs: z.array(z.number()),
  unserved: z.number(),
  late: z.number(),
  maxRssMiB: z.number(),
})

export const worst: Part = {
  name: 'worst',
  about: `the worst problems that the API lets in: ${MOST_HORIZON} days, up to ${MOST_ROUTES} routes on every day for each line`,
  run(report) {
    const days = report.quick ? 100 : MOST_HORIZON
    const sizes = report.quick ? [{ lines: 200, vessels: 6, routes: MOST_ROUTES }] : SIZES
    const found = sizes.map((size) => ({
      ...size,
      ...inOwnProcess(report, './one-worst.ts', [size.lines, size.vessels, days, size.routes], answer),
    }))
    report.table(
      [
        'lines',
        'routes',
        'first plan',
        'explained and checked',
        'unserved',
        'late',
        'opened',
        'promise, half',
        'longest',
        'memory',
      ],
      found.map((each) => [
        each.lines,
        each.routes,
        milliseconds(each.firstMs),
        milliseconds(each.totalMs),
        each.unserved,
        each.late,
        milliseconds(each.openMs),
        milliseconds(percentile(each.promiseMs, 0.5)),
        milliseconds(percentile(each.promiseMs, 1)),
        mebibytes(each.maxRssMiB),
      ]),
    )
    report.say(
      `Every route runs on each of ${days} days, every account takes beer on any of them, and every line may be served up to the last. There may be ${MOST_OPEN_LINES.toLocaleString('en')} open lines.`,
    )
    for (const { lines, routes, maxRssMiB, totalMs } of found) {
      const name = `${lines} lines of ${routes} × ${days} days`
      report.goal(`${name}: memory`, maxRssMiB, MOST_MEMORY, mebibytes)
      if (lines < MOST_OPEN_LINES)
        report.goal(`${name}: the plan, explained and checked`, totalMs, MOST_MS, milliseconds)
    }
  },
}
