// The environment, parsed once at the start. Nothing else reads environment variables.
import { z } from 'zod'
import { SERVER_LIMITS, type ServerLimits } from './database/server-pool.ts'
import { LOG_LEVELS, type LogLevel } from './operations/log.ts'
import { KEY_QUOTAS, type KeyQuotas } from './resolvers/access/key-quotas.ts'
import { CHANGE_DAYS } from './resolvers/changes/thin-log.ts'
import { TURN_LIMITS, type TurnLimits } from './resolvers/planner-turns.ts'
import { MOST_WRITERS } from './resolvers/waiting-writers.ts'
import { MAX_COMPLEXITY } from './schema/limits.ts'
import { CONNECTION_LIMITS } from './server.ts'

const seconds = (usual: number) => z.coerce.number().int().min(1).max(3600).default(usual)

/** The variables, by name. */
export const variables = z.object({
  DATABASE_URL: z
    .string()
    .regex(/^postgres(ql)?:\/\//, 'must begin with postgresql://')
    .optional(),
  DATABASE_POOL: z.coerce.number().int().min(1).max(1000).default(10),
  DATABASE_LOCK_SECONDS: seconds(SERVER_LIMITS.lockSeconds),
  DATABASE_STATEMENT_SECONDS: seconds(SERVER_LIMITS.statementSeconds),
  DATABASE_ANSWER_SECONDS: seconds(SERVER_LIMITS.answerSeconds),
  DATABASE_IDLE_SECONDS: seconds(SERVER_LIMITS.idleSeconds),
  FILLWRIGHT_FOLDER: z.string().min(1).default('var'),
  PORT: z.coerce.number().int().min(0).max(65_535).default(4000),
  HOST: z.string().min(1).default('127.0.0.1'),
  WORKER_PORT: z.coerce.number().int().min(0).max(65_535).optional(),
  PLANNING_THREADS: z.coerce.number().int().min(0).max(256).optional(),
  PLANNING_PER_DISTRIBUTOR: z.coerce.number().int().min(1).max(256).default(2),
  PLANNER_REQUESTS: z.coerce.number().int().min(1).max(1000).default(TURN_LIMITS.atOnce),
  PLANNER_WAITING: z.coerce.number().int().min(0).max(10_000).default(TURN_LIMITS.waiting),
  PLANNER_WAIT_SECONDS: seconds(TURN_LIMITS.seconds),
  QUERY_COST: z.coerce.number().int().min(1000).max(10_000_000).default(MAX_COMPLEXITY),
  KEY_REQUESTS: z.coerce.number().int().min(1).max(1_000_000_000).default(KEY_QUOTAS.requests),
  KEY_COST: z.coerce.number().int().min(1000).max(1_000_000_000_000).default(KEY_QUOTAS.cost),
  WAITING_WRITERS: z.coerce.number().int().min(1).max(100_000).default(MOST_WRITERS),
  NEW_PLAN_SECONDS: z.coerce.number().min(0).max(60).default(4),
  HEADERS_SECONDS: seconds(CONNECTION_LIMITS.headersSeconds),
  BODY_SECONDS: seconds(CONNECTION_LIMITS.bodySeconds),
  KEEP_ALIVE_SECONDS: seconds(CONNECTION_LIMITS.keepAliveSeconds),
  MOST_CONNECTIONS: z.coerce.number().int().min(1).max(100_000).default(CONNECTION_LIMITS.mostConnections),
  STREAMS_PER_KEY: z.coerce.number().int().min(1).max(10_000).default(5),
  CHANGE_DAYS: z.coerce.number().int().min(7).max(36_500).default(CHANGE_DAYS),
  WEBHOOK_PRIVATE_ADDRESSES: z.enum(['on', 'off']).default('off'),
  INTROSPECTION: z.enum(['key', 'open']).default('key'),
  QUERY_EDITOR: z.enum(['on', 'off']).default('on'),
  ALLOWED_ORIGINS: z
    .string()
    .default('')
    .transform((list) => list.split(',').flatMap((each) => each.trim() || []))
    .refine((list) => list.every(isOrigin), 'must list origins such as https://shop.example, or be *'),
  TRUSTED_DOCUMENTS: z.string().min(1).optional(),
  ONLY_TRUSTED_DOCUMENTS: z.enum(['on', 'off']).default('off'),
  LOG_LEVEL: z.enum(LOG_LEVELS).default('info'),
  LOG_FORMAT: z.enum(['auto', 'json', 'pretty']).default('auto'),
  METRICS_TOKEN: z
    .string()
    .regex(/^\S{16,}$/, 'must be 16 signs or more, without spaces')
    .optional(),
  OTEL_EXPORTER_OTLP_ENDPOINT: z.url({ protocol: /^https?$/, error: 'must be an address of http or https' }).optional(),
  OTEL_EXPORTER_OTLP_HEADERS: z
    .string()
    .default('')
    .transform((list) => list.split(',').flatMap((each) => each.trim() || []))
    .refine((list) => list.every((each) => /^[\w-]+=\S+$/.test(each)), 'must list headers as name=value'),
  OTEL_SERVICE_NAME: z.string().min(1).default('fillwright'),
})

const shape = variables
  .refine(({ DATABASE_URL, PLANNING_THREADS }) => DATABASE_URL !== undefined || PLANNING_THREADS !== 0, {
    path: ['PLANNING_THREADS'],
    message: 'must be 1 or more without a DATABASE_URL: no other process can plan on the embedded database',
  })
  .refine(({ HEADERS_SECONDS, BODY_SECONDS }) => HEADERS_SECONDS <= BODY_SECONDS, {
    path: ['HEADERS_SECONDS'],
    message: 'must not be more than BODY_SECONDS, which begin at the same instant',
  })
  .refine((given) => given.ONLY_TRUSTED_DOCUMENTS === 'off' || given.TRUSTED_DOCUMENTS !== undefined, {
    path: ['ONLY_TRUSTED_DOCUMENTS'],
    message: 'needs TRUSTED_DOCUMENTS: without a list no query would be answered',
  })
  .refine(({ QUERY_COST, KEY_COST }) => QUERY_COST <= KEY_COST, {
    path: ['KEY_COST'],
    message: 'must not be less than QUERY_COST: a query that costs so much could never be asked',
  })

export interface Settings {
  /** The PostgreSQL server to use. Absent: an embedded database in `folder`. */
  databaseUrl?: string
  /** Most connections that are held open to the server. */
  databasePool: number
  /** How long things may take on the server. */
  databaseLimits: ServerLimits
  /** Where the embedded database and the demo's keys are kept. */
  folder: string
  /** The port to listen on; 0 lets the system choose. */
  port: number
  /** The address to listen on. */
  host: string
  /** The port at which a worker says how it is; 0 lets the system choose. Absent: it listens nowhere. */
  workerPort?: number
  /** Searches at once in this process, and a short one beside them; 0: it plans nothing. Absent: the processors less one. */
  planningThreads?: number
  /** Searches at once for one distributor, over all processes. */
  planningPerDistributor: number
  /** Most mutations of one distributor that wait for their answer; further ones are refused as `BUSY`. */
  waitingWriters: number
  /** Requests of one distributor that ask the planner at once, that wait for their turn, and for how long; further ones are refused as `BUSY`. */
  plannerTurns: TurnLimits
  /** What a query may cost, in values. */
  queryCost: number
  /** What a key may ask for in a minute, of this process. */
  keyQuotas: KeyQuotas
  /** How long a new plan is looked for that keeps what the plan in force cannot promise; 0: not at all. */
  newPlanEffort: { seconds: number }
  /** Seconds within which the headers of a request have arrived. */
  headersSeconds: number
  /** Seconds within which all of a request has arrived. */
  bodySeconds: number
  /** Seconds for which a connection may rest between two requests. */
  keepAliveSeconds: number
  /** Connections whose requests are answered; on further ones they are refused. */
  mostConnections: number
  /** Most subscriptions of one key at a time. */
  streamsPerKey: number
  /** Days for which changes are kept, for followers of the feed. */
  changeDays: number
  /** Whether webhooks may be sent to addresses within a network. */
  webhookPrivateAddresses: boolean
  /** Whether the schema can be read without a key. */
  openIntrospection: boolean
  /** Whether a browser gets the query editor. */
  queryEditor: boolean
  /** Origins whose pages may read answers; `*`: all. */
  allowedOrigins: string[]
  /** The file with the list of trusted documents, and whether no other queries are answered. Absent: there is none. */
  trustedDocumentsFile?: string
  onlyTrustedDocuments: boolean
  /** What is logged, and whether as JSON, for a person, or as the one who reads it wants (`auto`). */
  log: { level: LogLevel; format: 'auto' | 'json' | 'pretty' }
  /** What `/metrics` is read with. Absent: there is no such address. */
  metricsToken?: string
  /** Where traces are sent, and how. Absent: nowhere. */
  traces?: { endpoint: string; headers: Record<string, string>; serviceName: string }
}

/** Whether a text is an origin as browsers send it, or stands for all. */
function isOrigin(text: string): boolean {
  return text === '*' || (URL.canParse(text) && new URL(text).origin === text)
}

/** What is wrong with an environment, a line each; none where it is right. A variable that is empty counts as not set. */
export function settingFaults(environment: Record<string, string | undefined>): string[] {
  const { error } = shape.safeParse(givenIn(environment))
  return (error?.issues ?? []).map(({ path, message }) => `${path.join('.')}: ${message}`)
}

function givenIn(environment: Record<string, string | undefined>) {
  return Object.fromEntries(Object.entries(environment).filter(([, value]) => value !== ''))
}

/** Parses the environment; a variable that is empty counts as not set. Throws an error that lists all that is wrong. */
export function parseSettings(environment: Record<string, string | undefined>): Settings {
  const parsed = shape.safeParse(givenIn(environment))
  if (!parsed.success)
    throw new Error(`These environment variables are not right:\n  ${settingFaults(environment).join('\n  ')}`)
  const { DATABASE_URL, DATABASE_POOL, FILLWRIGHT_FOLDER, PORT, HOST, WAITING_WRITERS, INTROSPECTION, QUERY_EDITOR } =
    parsed.data
  const { PLANNING_THREADS, PLANNING_PER_DISTRIBUTOR, NEW_PLAN_SECONDS } = parsed.data
  return {
    ...(DATABASE_URL === undefined ? {} : { databaseUrl: DATABASE_URL }),
    databasePool: DATABASE_POOL,
    databaseLimits: {
      lockSeconds: parsed.data.DATABASE_LOCK_SECONDS,
      statementSeconds: parsed.data.DATABASE_STATEMENT_SECONDS,
      answerSeconds: parsed.data.DATABASE_ANSWER_SECONDS,
      idleSeconds: parsed.data.DATABASE_IDLE_SECONDS,
    },
    folder: FILLWRIGHT_FOLDER,
    port: PORT,
    host: HOST,
    ...(parsed.data.WORKER_PORT === undefined ? {} : { workerPort: parsed.data.WORKER_PORT }),
    ...(PLANNING_THREADS === undefined ? {} : { planningThreads: PLANNING_THREADS }),
    planningPerDistributor: PLANNING_PER_DISTRIBUTOR,
    waitingWriters: WAITING_WRITERS,
    plannerTurns: {
      atOnce: parsed.data.PLANNER_REQUESTS,
      waiting: parsed.data.PLANNER_WAITING,
      seconds: parsed.data.PLANNER_WAIT_SECONDS,
    },
    queryCost: parsed.data.QUERY_COST,
    keyQuotas: { requests: parsed.data.KEY_REQUESTS, cost: parsed.data.KEY_COST },
    newPlanEffort: { seconds: NEW_PLAN_SECONDS },
    headersSeconds: parsed.data.HEADERS_SECONDS,
    bodySeconds: parsed.data.BODY_SECONDS,
    keepAliveSeconds: parsed.data.KEEP_ALIVE_SECONDS,
    mostConnections: parsed.data.MOST_CONNECTIONS,
    streamsPerKey: parsed.data.STREAMS_PER_KEY,
    changeDays: parsed.data.CHANGE_DAYS,
    webhookPrivateAddresses: parsed.data.WEBHOOK_PRIVATE_ADDRESSES === 'on',
    openIntrospection: INTROSPECTION === 'open',
    queryEditor: QUERY_EDITOR === 'on',
    allowedOrigins: parsed.data.ALLOWED_ORIGINS,
    ...(parsed.data.TRUSTED_DOCUMENTS === undefined ? {} : { trustedDocumentsFile: parsed.data.TRUSTED_DOCUMENTS }),
    onlyTrustedDocuments: parsed.data.ONLY_TRUSTED_DOCUMENTS === 'on',
    log: { level: parsed.data.LOG_LEVEL, format: parsed.data.LOG_FORMAT },
    ...(parsed.data.METRICS_TOKEN === undefined ? {} : { metricsToken: parsed.data.METRICS_TOKEN }),
    ...tracesOf(parsed.data),
  }
}

function tracesOf(given: z.output<typeof variables>): Pick<Settings, 'traces'> {
  const { OTEL_EXPORTER_OTLP_ENDPOINT: endpoint, OTEL_SERVICE_NAME: serviceName } = given
  if (endpoint === undefined) return {}
  const pairs = given.OTEL_EXPORTER_OTLP_HEADERS.map((each) => [
    each.slice(0, each.indexOf('=')),
    decodeURIComponent(each.slice(each.indexOf('=') + 1)),
  ])
  return { traces: { endpoint, headers: Object.fromEntries(pairs), serviceName } }
}
