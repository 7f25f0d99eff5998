// What a part of the benchmark is, and what it reports to: tables, goals, and plans that must be valid.

import type { Plan, Problem } from '../../src/planner/documents/index.ts'
import { costTolerance } from '../../src/planner/documents/tolerances.ts'
import { checkPlan } from '../../src/planner/index.ts'
import type { PartOptions } from './options.ts'
import { type Cell, table } from './table.ts'

/** One part: a question about the planner, answered by a table. */
export interface Part {
  name: string
  /** What it shows, in one line. */
  about: string
  run(report: Report): Promise<void> | void
}

/** Where a part's findings go. */
export class Report {
  /** Fewer and smaller problems and shorter limits: to see that a part runs, not to quote. */
  readonly quick: boolean
  readonly options: PartOptions
  private readonly write: (text: string) => void
  plans = 0
  readonly faults: string[] = []
  missed = 0

  constructor(quick: boolean, write: (text: string) => void, options: PartOptions = {}) {
    this.quick = quick
    this.options = options
    this.write = write
  }

  /** A line of text. */
  say(text: string): void {
    this.write(`${text}\n`)
  }

  table(head: string[], rows: Cell[][]): void {
    this.write(`\n${table(head, rows)}\n`)
  }

  /** States a goal and whether `value` meets it (at most `most`). A quick run states the value alone. */
  goal(what: string, value: number, most: number, show: (value: number) => string): void {
    if (this.quick) {
      this.say(`${what}: ${show(value)}`)
      return
    }
    const met = value <= most
    if (!met) this.missed++
    this.say(`${what}: ${show(value)} (goal: at most ${show(most)}, ${met ? 'met' : 'MISSED'})`)
  }

  /** Holds a plan to the independent checker, and its stated cost to the recomputed one; a fault fails the part. */
  check(name: string, problem: Problem, plan: Plan): void {
    this.plans++
    const { violations, cost } = checkPlan(problem, plan)
    for (const { rule, message } of violations.slice(0, 3)) this.fault(`${name}: ${rule}: ${message}`)
    if (Math.abs(cost.total - plan.cost.total) > costTolerance(cost.total))
      this.fault(`${name}: the plan says that it costs ${plan.cost.total}, the checker says ${cost.total}`)
  }

  /** Notes what must never be; the part fails. */
  fault(text: string): void {
    this.faults.push(text)
  }
}

/** A share as a percentage with two decimals. */
export const percent = (share: number): string => `${(100 * share).toFixed(2)} %`
/** Milliseconds, with more digits where they are few. */
export const milliseconds = (ms: number): string =>
  `${ms < 1 ? ms.toFixed(3) : ms < 100 ? ms.toFixed(1) : ms.toFixed(0)} ms`
/** A cost or a plain number with two decimals. */
export const number = (value: number): string => value.toFixed(2)
/** Memory in whole mebibytes. */
export const mebibytes = (value: number): string => `${value.toFixed(0)} MiB`
