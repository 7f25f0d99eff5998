// The metrics as text: the exposition format of Prometheus, version 0.0.4 (its documentation, "Text-based format").
import { expect, test } from 'vitest'
import { Metrics } from '../../src/operations/metrics.ts'

const depths = {
  jobs: [
    { kind: 'SOLVE_DRAFT', state: 'due', count: 3 },
    { kind: 'ROLL_DAYS', state: 'later', count: 1 },
  ],
  oldestDueSeconds: 2.5,
  revisionLag: 4,
}

const LABELS = String.raw`\{[a-zA-Z_][a-zA-Z0-9_]*="(?:[^"\\\n]|\\["\\n])*"(?:,[a-zA-Z_][a-zA-Z0-9_]*="(?:[^"\\\n]|\\["\\n])*")*\}`
/** A value is what `ParseFloat` of the language Go reads: the case of NaN and Inf is free. */
const SAMPLE = new RegExp(`^([a-zA-Z_:][a-zA-Z0-9_:]*)(${LABELS})? (-?[0-9.e+-]+|[nN][aA][nN]|[+-]Inf)$`)
const COMMENT =
  /^# (?:HELP ([a-zA-Z_:][a-zA-Z0-9_:]*) .+|TYPE ([a-zA-Z_:][a-zA-Z0-9_:]*) (?:counter|gauge|histogram|summary))$/

test('every line is a comment or a sample of the format, and every metric says what it is', async () => {
  const metrics = new Metrics(async () => depths, { process: true })
  metrics.requests.inc({ operation: 'query', status: 200 })
  metrics.jobSeconds.observe({ kind: 'SOLVE_DRAFT', outcome: 'DONE' }, 3)
  const text = await metrics.text()
  expect(metrics.contentType).toBe('text/plain; version=0.0.4; charset=utf-8')
  const lines = text.split('\n').filter(Boolean)
  expect(lines.filter((line) => !SAMPLE.test(line) && !COMMENT.test(line))).toEqual([])
  const typed = new Set(lines.flatMap((line) => COMMENT.exec(line)?.[2] ?? []))
  const named = lines.flatMap((line) => SAMPLE.exec(line)?.[1] ?? [])
  expect(named.filter((name) => !typed.has(name) && !typed.has(name.replace(/_(bucket|sum|count)$/, '')))).toEqual([])
})

test('the queue, its oldest job and the lag are read each time, and a kind that is gone is no longer there', async () => {
  let now = depths
  const metrics = new Metrics(async () => now)
  const text = await metrics.text()
  expect(text).toContain('fillwright_jobs{kind="SOLVE_DRAFT",state="due"} 3\n')
  expect(text).toContain('fillwright_oldest_due_job_seconds 2.5\n')
  expect(text).toContain('fillwright_revision_lag 4\n')
  now = { jobs: [], oldestDueSeconds: 0, revisionLag: 0 }
  const later = await metrics.text()
  expect(later).not.toContain('SOLVE_DRAFT')
  expect(later).toContain('fillwright_oldest_due_job_seconds 0\n')
})

test('times are counted in buckets that add up', async () => {
  const metrics = new Metrics(async () => depths)
  for (const seconds of [0.001, 0.02, 0.3, 20]) metrics.promiseSeconds.observe(seconds)
  const text = await metrics.text()
  const counts = [...text.matchAll(/^fillwright_promise_duration_seconds_bucket\{le="([^"]+)"\} (\d+)$/gm)].map(
    ([, le, count]) => [le, Number(count)],
  )
  expect(counts.at(0)).toEqual(['0.005', 1])
  expect(counts.at(-1)).toEqual(['+Inf', 4])
  expect(counts.map(([, count]) => count)).toEqual(counts.map(([, count]) => count).toSorted())
  expect(text).toContain('fillwright_promise_duration_seconds_count 4\n')
})
