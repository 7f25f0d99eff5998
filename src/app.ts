// Builds the API's handler. It opens no port: the server hands it requests, and tests call `.fetch`.
import { getOperationAST, OperationTypeNode } from 'graphql'
import { createYoga, isAsyncIterable, type Plugin } from 'graphql-yoga'
import { todayIn } from './clock.ts'
import { Busy, KeyTooStrong, Refusal, Unauthenticated } from './errors.ts'
import { corsFor, guardAnswers } from './http/browsers.ts'
import { calendars, type OpenCalendar } from './http/calendars.ts'
import { closeUnread } from './http/close-unread.ts'
import { compressAnswers } from './http/compress-answers.ts'
import { documents, type OpenDocuments } from './http/documents.ts'
import { editorPage } from './http/editor-page.ts'
import { endedBy } from './http/ended-by.ts'
import { exports } from './http/exports.ts'
import { metricsPage, readiness } from './http/health.ts'
import { imports } from './http/imports.ts'
import { observeRequests } from './http/observe-requests.ts'
import { forgetInvalid, NO_REFUSED_TEXTS, QueryCache } from './http/query-cache.ts'
import { type RateLimits, sayRateLimits } from './http/rate-limit.ts'
import { fillEmptyRefusals, nameFaultsOfQueries, shownError } from './http/refusals.ts'
import { runOnce } from './http/run-once.ts'
import { keyOfBrowser, sheets } from './http/sheets.ts'
import { takeTurns } from './http/take-turns.ts'
import { type TrustedDocuments, trustedDocuments } from './http/trusted-documents.ts'
import { ublDocuments } from './http/ubl.ts'
import type { Jobs } from './jobs/jobs.ts'
import { jobsOf } from './jobs/kinds.ts'
import type { Observed } from './operations/observed.ts'
import { pageAsHtml } from './print/html.ts'
import { asICalendar } from './print/icalendar.ts'
import { pageAsText } from './print/text.ts'
import { Snapshots } from './records/snapshots.ts'
import { contextFor } from './request-context.ts'
import { KeyCounts, type KeyQuotas, WINDOW_SECONDS } from './resolvers/access/key-quotas.ts'
import { CommandExecutor } from './resolvers/commands/executor.ts'
import { type Stream, Streams } from './resolvers/listening/streams.ts'
import { PlannerTurns, type TurnLimits } from './resolvers/planner-turns.ts'
import { readPlanDocuments } from './resolvers/plans/plan-documents.ts'
import { readPlanCalendar } from './resolvers/sheets/plan-calendar.ts'
import { inputOf, PRINTED } from './resolvers/sheets/printed.ts'
import { WaitingWriters } from './resolvers/waiting-writers.ts'
import type { Context, Services } from './schema/context.ts'
import { graphiqlTabs } from './schema/graphiql-tabs.ts'
import { asksForRecords, judgeIntrospection } from './schema/introspection.ts'
import { MAX_BODY_BYTES, refuseHugeText } from './schema/limits.ts'
import { costOfQuery } from './schema/query-cost.ts'
import { fewFaults, refuseHugeShape } from './schema/query-shape.ts'
import { schema } from './schema/schema.ts'
import { tablesToExport, tablesToImport } from './table-doors.ts'
import { ublDoors } from './ubl-doors.ts'

export interface AppOptions extends Pick<Services, 'client' | 'clock'> {
  /** Hears of every unexpected fault, with the id that the caller gets. */
  onFault: (error: unknown, id: string) => void
  /** The jobs of the process, so that the server can start and stop them. Absent: the handler's own. */
  jobs?: Jobs
  /** Most writers of one distributor that wait. Absent: `MOST_WRITERS`. */
  waitingWriters?: number
  /** How many requests of one distributor ask the planner at once, and wait. Absent: `TURN_LIMITS`. */
  plannerTurns?: TurnLimits
  /** What a key may ask for in a minute, of this process. Absent: `KEY_QUOTAS`. */
  keyQuotas?: KeyQuotas
  /** What a query may cost, in values. Absent: `MAX_COMPLEXITY`. */
  queryCost?: number
  /** How long a new plan is looked for that keeps what the plan in force cannot promise. Absent: as `PlanningActor` says. */
  newPlanEffort?: Services['newPlanEffort']
  /** Whether the schema can be read without a key. */
  openIntrospection?: boolean
  /** Whether browsers get the query editor; they do where it is absent. */
  queryEditor?: boolean
  /** Origins whose pages may read answers, such as `https://shop.example`; `*`: all. Absent: none. */
  allowedOrigins?: readonly string[]
  /** Most subscriptions of one key at a time. Absent: `STREAMS_PER_KEY`. */
  streamsPerKey?: number
  /** Aborted when the server stops: whatever is listened to ends. */
  stopping?: AbortSignal
  /** What hears of each request. Absent: nothing does. */
  observed?: Observed
  /** What `/metrics` is read with. Absent: there is no such address. */
  metricsToken?: string
  /** Queries that callers may name by their SHA-256. Absent: none. */
  trusted?: TrustedDocuments | undefined
  /** Whether no other queries are answered. */
  onlyTrustedDocuments?: boolean
  /** The plans in force in memory, so that the server can see how far they are behind. Absent: the handler's own. */
  snapshots?: Snapshots
}

/** The handler for all requests: `/graphql`, `/documents/*.json`, `/sheets/*`, `/calendars/plan.ics`, `/export/*.csv`, `/import/*.csv`, `/import/ubl`, `/export/despatch-advices/*.xml`, `/health/live`, `/health/ready` and `/metrics`. */
export function createApp(options: AppOptions) {
  const { client, clock, onFault, stopping, observed = {}, jobs = jobsOf({ client, clock, onFault }) } = options
  const services: Services = {
    client,
    clock,
    onFault,
    jobs,
    snapshots: options.snapshots ?? new Snapshots(),
    executor: new CommandExecutor(),
    newPlanEffort: options.newPlanEffort,
    turns: new PlannerTurns(options.plannerTurns),
    writers: new WaitingWriters(options.waitingWriters),
    queryCost: options.queryCost,
    onPromise: (seconds) => observed.metrics?.promiseSeconds.observe(seconds),
    counts: new KeyCounts(options.keyQuotas),
  }
  const queries = new QueryCache()
  return createYoga<object, { context: Context }>({
    schema,
    context: async ({ request }) => ({ context: await contextFor(services, request) }),
    graphqlEndpoint: '/graphql',
    healthCheckEndpoint: '/health/live',
    landingPage: false,
    logging: false,
    multipart: false,
    cors: corsFor(options.allowedOrigins ?? []),
    maxRequestBodySize: MAX_BODY_BYTES,
    parserAndValidationCache: { documentCache: queries, errorCache: NO_REFUSED_TEXTS },
    graphiql: false,
    extraParamNames: options.trusted ? ['documentId'] : [],
    maskedErrors: { maskError: (error) => shownError(error, onFault) },
    plugins: [
      readiness(client, stopping),
      metricsPage(observed.metrics, options.metricsToken),
      documents({ open: (request) => openDocuments(services, request), onFault }),
      sheets({ names: Object.keys(PRINTED), make: (...asked) => printedSheet(services, ...asked), onFault }),
      calendars({ open: (...asked) => openCalendar(services, ...asked), onFault }),
      exports(tablesToExport(services)),
      imports(tablesToImport(services)),
      ublDocuments(ublDoors(services)),
      ...(options.queryEditor === false ? [] : [editorPage('/graphql', () => editorTabs(clock))]),
      trustedDocuments(options.trusted, options.onlyTrustedDocuments === true),
      refuseHugeQueries,
      fewFaults,
      forgetInvalid(queries),
      giveContext(options, services, new Streams(client, options.streamsPerKey)),
      nameFaultsOfQueries,
      fillEmptyRefusals,
      compressAnswers,
      sayRateLimits(rateLimitsOf(services.counts)),
      guardAnswers,
      closeUnread,
      observeRequests(observed),
      takeTurns(),
    ],
  })
}

/** What the headers of answers say of what keys have used. */
function rateLimitsOf(counts: KeyCounts): RateLimits {
  return { quotas: counts.quotas, window: WINDOW_SECONDS, left: (request) => counts.of(request)?.left() }
}

export type App = ReturnType<typeof createApp>

/** Seconds after which a server that stopped may be there again, or another one in its place. */
const STOPPED_FOR = 5

/** The documents that a request may read; they depend on the records and on the day. */
async function openDocuments(services: Services, request: Request): Promise<OpenDocuments> {
  const context = await contextFor(services, request)
  context.require('plan:read')
  const { revision, epoch, timeZone } = context.caller.found
  return {
    tag: `${revision}.${epoch}.${todayIn(services.clock, timeZone)}`,
    read: () => context.reading(async () => readPlanDocuments(await context.askPlanner())),
  }
}

/** A sheet as it is printed. A browser sends its key as a password, here and nowhere else: sheets are only read. */
async function printedSheet(services: Services, request: Request, name: string, parameters: URLSearchParams) {
  const context = await contextFor(services, request, keyOfBrowser(request.headers))
  const printed = PRINTED[name]
  if (!printed) throw new Error(`there is no sheet ${name}`)
  context.require(printed.scope)
  const { revision, page } = await context.reading(async () =>
    printed.make(await context.askPlanner(), inputOf(parameters)),
  )
  return { revision, html: pageAsHtml(page), text: pageAsText(page) }
}

/** The calendar of a site. A key that is part of the address may read plans and nothing else. */
async function openCalendar(services: Services, request: Request, given: URLSearchParams): Promise<OpenCalendar> {
  const { key, ...rest } = Object.fromEntries(given)
  const context = await contextFor(services, request, key ?? keyOfBrowser(request.headers))
  const { scopes, found } = context.caller
  if (key !== undefined && [...scopes].some((scope) => scope !== 'plan:read')) throw new KeyTooStrong()
  context.require('plan:read')
  return {
    tag: `${found.revision}.${found.epoch}.${todayIn(services.clock, found.timeZone)}`,
    read: () =>
      context.reading(async () =>
        asICalendar(await readPlanCalendar(await context.askPlanner(), inputOf(new URLSearchParams(rest)))),
      ),
  }
}

const refuseHugeQueries: Plugin = {
  onParse({ parseFn, setParseFn }) {
    setParseFn((source, options) => {
      refuseHugeText(typeof source === 'string' ? source : source.body)
      const document = parseFn(source, options)
      refuseHugeShape(document)
      return document
    })
  },
}

/** The tabs of the query editor for today. */
function editorTabs(clock: AppOptions['clock']) {
  const day = todayIn(clock, 'UTC')
  return { day, tabs: graphiqlTabs(day) }
}

/** Resolvers get the context as it was built: yoga would copy its values and lose what it does. */
function giveContext(
  { openIntrospection = false, stopping }: AppOptions,
  { client, clock, onFault, counts }: Services,
  streams: Streams,
): Plugin<{ context: Context }> {
  return {
    onExecute({ executeFn, setExecuteFn }) {
      setExecuteFn(async (args) => {
        const { context, request } = args.contextValue
        judgeIntrospection(context, args, openIntrospection)
        const execute = async () => executeFn({ ...args, contextValue: context })
        const isQuery = getOperationAST(args.document, args.operationName)?.operation === OperationTypeNode.QUERY
        const run = () => (isQuery ? context.reading(execute) : execute())
        if (!context.hasKey) {
          // Refused once: hundreds of fields that are each refused take as long as many good queries.
          if (!asksForRecords(args)) return run()
          return { errors: [shownError(new Unauthenticated('KEY_MISSING'), onFault)] }
        }
        try {
          counts.of(request)?.charge(costOfQuery(context, args))
        } catch (error) {
          return { errors: [shownError(error, onFault)] }
        }
        const header = request.headers.get('idempotency-key')
        const { distributorId, keyId, requiresIdempotencyKey: isRequired } = context.caller
        const asker = { client, clock, distributorId, keyId, isRequired }
        return runOnce(asker, { ...args, header }, (once) => {
          context.once = once
          return run()
        }).catch((error: unknown) => ({ errors: [shownError(error, onFault)] }))
      })
    },
    onSubscribe({ subscribeFn, setSubscribeFn }) {
      setSubscribeFn(async (args) => {
        const { context } = args.contextValue
        let stream: Stream | undefined
        try {
          // Without a key the subscription itself is refused.
          if (context.hasKey) stream = streams.open(context.caller)
          const heard = await subscribeFn({ ...args, contextValue: context })
          if (stream && isAsyncIterable(heard)) {
            // One who leaves before the first event would not be noticed by what is listened to.
            const ends = [args.contextValue.request.signal, stream.ended, ...(stopping ? [stopping] : [])]
            const lastWords = () => {
              const why = stopping?.aborted ? new Busy(STOPPED_FOR, 'SERVER_STOPS') : stream?.ended.reason
              return why instanceof Refusal ? { errors: [shownError(why, onFault)] } : undefined
            }
            return endedBy(AbortSignal.any(ends), heard, stream.close, lastWords)
          }
          stream?.close()
          return heard
        } catch (error) {
          stream?.close()
          return { errors: [shownError(error, onFault)] }
        }
      })
    },
  }
}
