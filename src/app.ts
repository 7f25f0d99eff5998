// Builds the API's handler. It opens no port: the server hands it requests, and tests call `.fetch`.
import { randomUUID } from 'node:crypto'
import { PothosValidationError } from '@pothos/core'
import { GraphQLError } from 'graphql'
import { createYoga, isAsyncIterable, type Plugin } from 'graphql-yoga'
import { todayIn } from './clock.ts'
import { refusedByDatabase } from './database/refused-by-database.ts'
import { catalogueEntry, ERROR_KINDS, type ErrorCode, InvalidInput, issue, NotPossible, Refusal } from './errors.ts'
import { compressAnswers } from './http/compress-answers.ts'
import { editorPage } from './http/editor-page.ts'
import { endedBy } from './http/ended-by.ts'
import { forgetInvalid, NO_REFUSED_TEXTS, QueryCache } from './http/query-cache.ts'
import { Snapshots } from './records/snapshots.ts'
import { Drafts } from './resolvers/plans/drafts.ts'
import { type Context, contextOf, type Services } from './schema/context.ts'
import { graphiqlTabs } from './schema/graphiql-tabs.ts'
import { judgeIntrospection } from './schema/introspection.ts'
import { MAX_BODY_BYTES, refuseHugeText } from './schema/limits.ts'
import { schema } from './schema/schema.ts'

export interface AppOptions extends Pick<Services, 'client' | 'clock'> {
  /** Hears of every unexpected fault, with the id that the caller is told. */
  onFault: (error: unknown, id: string) => void
  /** Where drafts are solved, for whoever has to stop them. Absent: the handler's own. */
  drafts?: Drafts
  /** Whether the schema can be read without a key. */
  openIntrospection?: boolean
  /** Whether browsers get the query editor; they do where it is absent. */
  queryEditor?: boolean
  /** Aborted when the server stops: whatever is listened to ends. */
  stopping?: AbortSignal
}

/** The handler for all requests: `/graphql`, `/health/live` and `/health/ready`. */
export function createApp(options: AppOptions) {
  const { client, clock, onFault, drafts = new Drafts() } = options
  const services: Services = { client, clock, onFault, drafts, snapshots: new Snapshots() }
  const queries = new QueryCache()
  return createYoga<object, { asking: Context }>({
    schema,
    context: async ({ request }) => ({ asking: await contextOf(services, request) }),
    graphqlEndpoint: '/graphql',
    healthCheckEndpoint: '/health/live',
    landingPage: false,
    logging: false,
    multipart: false,
    maxRequestBodySize: MAX_BODY_BYTES,
    parserAndValidationCache: { documentCache: queries, errorCache: NO_REFUSED_TEXTS },
    graphiql: false,
    maskedErrors: { maskError: (error) => shownError(error, onFault) },
    plugins: [
      readiness(services),
      ...(options.queryEditor === false ? [] : [editorPage('/graphql', () => editorTabs(clock))]),
      refuseHugeQueries,
      forgetInvalid(queries),
      giveContext(options),
      nameFaultsOfQueries,
      fillEmptyRefusals,
      compressAnswers,
    ],
  })
}

export type App = ReturnType<typeof createApp>

/** `/health/ready`: 200 while the database answers, else 503. */
function readiness({ client }: Services): Plugin {
  return {
    async onRequest({ url, fetchAPI, endResponse }) {
      if (url.pathname !== '/health/ready') return
      const ready = await client.$queryRaw`SELECT 1`.then(
        () => true,
        () => false,
      )
      endResponse(
        new fetchAPI.Response(ready ? 'ready\n' : 'the database does not answer\n', { status: ready ? 200 : 503 }),
      )
    },
  }
}

const refuseHugeQueries: Plugin = {
  onParse({ parseFn, setParseFn }) {
    setParseFn((source, options) => {
      refuseHugeText(typeof source === 'string' ? source : source.body)
      return parseFn(source, options)
    })
  },
}

/** The tabs of the query editor for today. */
function editorTabs(clock: AppOptions['clock']) {
  const day = todayIn(clock, 'UTC')
  return { day, tabs: graphiqlTabs(day) }
}

/** Resolvers get the context as it was built: yoga would copy its values and lose what it does. */
function giveContext({ openIntrospection = false, stopping }: AppOptions): Plugin<{ asking: Context }> {
  return {
    onExecute({ executeFn, setExecuteFn }) {
      setExecuteFn((args) => {
        judgeIntrospection(args.contextValue.asking, args, openIntrospection)
        return executeFn({ ...args, contextValue: args.contextValue.asking })
      })
    },
    onSubscribe({ subscribeFn, setSubscribeFn }) {
      setSubscribeFn(async (args) => {
        const heard = await subscribeFn({ ...args, contextValue: args.contextValue.asking })
        return stopping && isAsyncIterable(heard) ? endedBy(stopping, heard) : heard
      })
    },
  }
}

/** Refusals of a query as a whole, which each of its root fields throws. */
const OF_WHOLE_QUERY: ReadonlySet<string> = new Set<ErrorCode>([
  'QUERY_TOO_DEEP',
  'QUERY_TOO_LARGE',
  'QUERY_TOO_COSTLY',
])

/** Faults of a whole query are told once; those that GraphQL itself finds get a code and an action too. */
const nameFaultsOfQueries: Plugin = {
  onExecutionResult({ result, setResult }) {
    if (!result || Array.isArray(result) || !('errors' in result) || !result.errors) return
    const whole = result.errors.find(({ extensions }) => OF_WHOLE_QUERY.has(String(extensions.code)))
    if (whole) return setResult({ errors: [whole] })
    if (result.errors.every(isCoded)) return
    const { kind, action } = catalogueEntry('BAD_QUERY')
    const errors = result.errors.map((error) => {
      if (isCoded(error)) return error
      const { message, nodes, source, positions, path, originalError, extensions } = error
      return new GraphQLError(message, {
        ...{ nodes, source, positions, path, originalError },
        extensions: { ...extensions, code: 'BAD_QUERY', kind, action },
      })
    })
    setResult({ ...result, errors })
  },
}

/** Refusals that never came to GraphQL have the shape of all others: no empty bodies. */
const fillEmptyRefusals: Plugin = {
  onResponse({ response, setResponse, fetchAPI }) {
    const refusal = EMPTY_REFUSALS[response.status]
    if (response.body !== null || !refusal) return
    const errors = [refusedRequest(refusal.code, refusal.words).toJSON()]
    const headers = new fetchAPI.Headers(response.headers)
    headers.set('content-type', 'application/json; charset=utf-8')
    setResponse(new fetchAPI.Response(JSON.stringify({ errors }), { status: response.status, headers }))
  },
}

type RequestFault = 'BAD_REQUEST' | 'REQUEST_TOO_LARGE' | 'NO_SUCH_ADDRESS'

/** What would be answered without a body, by HTTP status. */
const EMPTY_REFUSALS: Readonly<Record<number, { code: RequestFault; words?: string }>> = {
  404: { code: 'NO_SUCH_ADDRESS' },
  406: { code: 'BAD_REQUEST', words: 'Answers come as application/graphql-response+json or application/json only.' },
  415: { code: 'BAD_REQUEST', words: 'The body of the request has another content type than application/json.' },
}

/** A request that could not be read, as callers see it. */
function refusedRequest(code: RequestFault, words?: string, http?: unknown): GraphQLError {
  const { kind, meaning, action } = catalogueEntry(code)
  return new GraphQLError(words ?? meaning, { extensions: { code, kind, action, ...(http ? { http } : {}) } })
}

/** Whether an error has a code of our catalogue; GraphQL's own begin with its name. */
function isCoded({ extensions }: GraphQLError): boolean {
  const code = extensions?.code
  return typeof code === 'string' && !code.startsWith('GRAPHQL_')
}

/** An error as callers see it: refusals with code and action, faults of a query as GraphQL says them, all else masked. */
function shownError(error: unknown, onFault: AppOptions['onFault']): Error {
  const graphQLError = error instanceof GraphQLError ? error : undefined
  const cause = graphQLError?.originalError ?? error
  if (cause instanceof Refusal) return refused(cause, graphQLError)
  const byDatabase = refusedByDatabase(cause)
  if (byDatabase) return refused(byDatabase, graphQLError)
  if (cause instanceof PothosValidationError)
    return refused(new InvalidInput([issue('', 'BAD_ARGUMENT', cause.message)]), graphQLError)
  if (graphQLError && (cause === graphQLError || cause instanceof GraphQLError)) {
    const { code, http, originalError } = graphQLError.extensions
    // What is no JSON comes without a status.
    if (code === 'BAD_REQUEST')
      return refusedRequest('BAD_REQUEST', graphQLError.message, originalError ? { status: 400 } : http)
    if (code === 'REQUEST_ENTITY_TOO_LARGE') return refusedRequest('REQUEST_TOO_LARGE', undefined, http)
    return graphQLError
  }
  const id = randomUUID()
  onFault(cause, id)
  return new GraphQLError('Something went wrong on our side. Nothing was written by the field that failed.', {
    nodes: graphQLError?.nodes,
    path: graphQLError?.path,
    extensions: { code: 'UNEXPECTED', id, action: 'Try again; if it stays, report the id.', http: { status: 500 } },
  })
}

function refused(refusal: Refusal, at: GraphQLError | undefined): GraphQLError {
  return new GraphQLError(refusal.message, {
    nodes: at?.nodes,
    source: at?.source,
    positions: at?.positions,
    path: at?.path,
    extensions: {
      code: refusal.code,
      kind: refusal.kind,
      action: refusal.action,
      ...(refusal instanceof InvalidInput ? { issues: refusal.issues } : {}),
      ...(refusal instanceof NotPossible ? { reasons: refusal.reasons } : {}),
      ...(refusal.kind === 'UNAUTHENTICATED' ? { http: { status: ERROR_KINDS.UNAUTHENTICATED } } : {}),
    },
  })
}
