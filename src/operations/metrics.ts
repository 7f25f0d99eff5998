// What a process counts and times, in the text format of Prometheus (version 0.0.4). Labels take few values, all of our own: none comes from a caller.
import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client'

/** What is read when the metrics are. */
export interface Depths {
  /** Jobs of all processes, by kind and state: `due`, `later` (daily ones, mostly) or `running`. */
  jobs: readonly { kind: string; state: string; count: number }[]
  /** Seconds for which the job has been due that waits longest; 0 where none does. */
  oldestDueSeconds: number
  /** Revisions by which the records are ahead of what this process keeps of them in memory: the most of any distributor. */
  revisionLag: number
}

/** Upper edges in seconds: a promise takes milliseconds, a search a minute. */
const QUICK = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10]
const LONG = [0.01, 0.1, 0.5, 1, 2.5, 5, 10, 30, 60, 120, 300]

export class Metrics {
  readonly #registry = new Registry()
  readonly #all = { registers: [this.#registry] }

  readonly requests = new Counter({
    ...this.#all,
    name: 'fillwright_http_requests_total',
    help: 'Requests that were answered, by what was asked for and by HTTP status.',
    labelNames: ['operation', 'status'],
  })
  readonly requestSeconds = new Histogram({
    ...this.#all,
    name: 'fillwright_http_request_duration_seconds',
    help: 'Seconds until the answer began, by what was asked for.',
    labelNames: ['operation'],
    buckets: QUICK,
  })
  readonly refusals = new Counter({
    ...this.#all,
    name: 'fillwright_refusals_total',
    help: 'Requests in which something was refused, by the code of the refusal.',
    labelNames: ['code'],
  })
  readonly faults = new Counter({
    ...this.#all,
    name: 'fillwright_faults_total',
    help: 'Faults of ours; the log has each.',
  })
  readonly promiseSeconds = new Histogram({
    ...this.#all,
    name: 'fillwright_promise_duration_seconds',
    help: 'Seconds until the question of a promise was answered, the wait for its turn included.',
    buckets: QUICK,
  })
  readonly jobSeconds = new Histogram({
    ...this.#all,
    name: 'fillwright_job_duration_seconds',
    help: 'Seconds that an attempt at a job took in this process, by kind and outcome; drafts and comparisons are planning.',
    labelNames: ['kind', 'outcome'],
    buckets: LONG,
  })

  readonly #jobs = new Gauge({
    ...this.#all,
    name: 'fillwright_jobs',
    help: 'Jobs of all processes that are due, due later or running.',
    labelNames: ['kind', 'state'],
  })
  readonly #oldest = new Gauge({
    ...this.#all,
    name: 'fillwright_oldest_due_job_seconds',
    help: 'Seconds for which the job has been due that waits longest.',
  })
  readonly #lag = new Gauge({
    ...this.#all,
    name: 'fillwright_revision_lag',
    help: 'Revisions by which the records are ahead of what this process keeps in memory, the most of any distributor.',
  })
  readonly #read: () => Promise<Depths>

  /** `read` is asked each time that the metrics are read; with `process`, memory, processor and event loop are in them too. */
  constructor(read: () => Promise<Depths>, { process = false } = {}) {
    this.#read = read
    if (process) collectDefaultMetrics({ register: this.#registry })
  }

  /** The type of `text`. */
  get contentType(): string {
    return this.#registry.contentType
  }

  /** All metrics as they are now. Rejects where the database does not answer. */
  async text(): Promise<string> {
    const { jobs, oldestDueSeconds, revisionLag } = await this.#read()
    this.#jobs.reset()
    for (const { kind, state, count } of jobs) this.#jobs.set({ kind, state }, count)
    this.#oldest.set(oldestDueSeconds)
    this.#lag.set(revisionLag)
    return this.#registry.metrics()
  }
}
