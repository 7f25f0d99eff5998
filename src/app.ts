// Builds the API's handler. It opens no port: the server hands it requests, and tests call `.fetch`.
import { randomUUID } from 'node:crypto'
import { PothosValidationError } from '@pothos/core'
import { GraphQLError } from 'graphql'
import { createYoga, type Plugin } from 'graphql-yoga'
import { todayIn } from './clock.ts'
import { refusedByDatabase } from './database/refused-by-database.ts'
import { catalogueEntry, ERROR_KINDS, InvalidInput, issue, NotPossible, Refusal } from './errors.ts'
import { Snapshots } from './records/snapshots.ts'
import { Drafts } from './resolvers/plans/drafts.ts'
import { type Context, contextOf, type Services } from './schema/context.ts'
import { graphiqlTabs } from './schema/graphiql-tabs.ts'
import { MAX_BODY_BYTES, refuseHugeText } from './schema/limits.ts'
import { schema } from './schema/schema.ts'

export interface AppOptions extends Pick<Services, 'client' | 'clock'> {
  /** Hears of every unexpected fault, with the id that the caller is told. */
  onFault: (error: unknown, id: string) => void
  /** Where drafts are solved, for whoever has to stop them. Absent: the handler's own. */
  drafts?: Drafts
}

/** The handler for all requests: `/graphql`, `/health/live` and `/health/ready`. */
export function createApp({ client, clock, onFault, drafts = new Drafts() }: AppOptions) {
  const services: Services = { client, clock, onFault, drafts, snapshots: new Snapshots() }
  return createYoga<object, { asking: Context }>({
    schema,
    context: async ({ request }) => ({ asking: await contextOf(services, request) }),
    graphqlEndpoint: '/graphql',
    healthCheckEndpoint: '/health/live',
    landingPage: false,
    logging: false,
    multipart: false,
    maxRequestBodySize: MAX_BODY_BYTES,
    graphiql: () => ({ title: 'Fillwright', defaultTabs: graphiqlTabs(todayIn(clock, 'UTC')) }),
    // The editor with all its parts, so that the page needs nothing from outside; nine megabytes, read when first asked for.
    renderGraphiQL: async (options) => (await import('@graphql-yoga/render-graphiql')).renderGraphiQL(options),
    maskedErrors: { maskError: (error) => shownError(error, onFault) },
    plugins: [readiness(services), refuseHugeQueries, giveContext, nameFaultsOfQueries],
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

/** Resolvers get the context as it was built: yoga would copy its values and lose what it does. */
const giveContext: Plugin<{ asking: Context }> = {
  onExecute({ executeFn, setExecuteFn }) {
    setExecuteFn((args) => executeFn({ ...args, contextValue: args.contextValue.asking }))
  },
  onSubscribe({ subscribeFn, setSubscribeFn }) {
    setSubscribeFn((args) => subscribeFn({ ...args, contextValue: args.contextValue.asking }))
  },
}

/** Faults that GraphQL itself finds in a query get a code and an action too. */
const nameFaultsOfQueries: Plugin = {
  onExecutionResult({ result, setResult }) {
    if (!result || Array.isArray(result) || !('errors' in result) || !result.errors) return
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
  if (graphQLError && (cause === graphQLError || cause instanceof GraphQLError)) return graphQLError
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
