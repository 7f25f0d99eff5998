// One line in the log, one count and one span for each request; each answer carries the id of its request as `x-request-id`.
import { type DocumentNode, getOperationAST, Kind } from 'graphql'
import type { Plugin } from 'graphql-yoga'
import type { Observed } from '../operations/observed.ts'
import { currentRequest, inRequest, newScope } from '../operations/request-scope.ts'
import { traceParentOf } from '../operations/trace-parent.ts'

/** Asked for beside GraphQL, by the beginning of the path. */
const BESIDE: readonly (readonly [path: string, operation: string])[] = [
  ['/health/', 'health'],
  ['/metrics', 'metrics'],
  ['/documents/', 'document'],
  ['/sheets/', 'sheet'],
  ['/calendars/', 'calendar'],
  ['/export/', 'export'],
  ['/import/', 'import'],
]

/** Most root fields that a line of the log names. */
const MOST_NAMED = 5

/** Observes requests. Goes after all plugins that change answers. */
export function observeRequests(observed: Observed): Plugin {
  return {
    instrumentation: {
      request: ({ request }, answer) => inRequest(newScope(request.headers.get('x-request-id')), answer),
    },
    onExecute: ({ args }) => noteOperation(args.document, args.operationName),
    onSubscribe: ({ args }) => noteOperation(args.document, args.operationName),
    onExecutionResult({ result }) {
      if (!result || Array.isArray(result) || !('errors' in result)) return
      for (const { extensions } of result.errors ?? []) currentRequest()?.codes.add(String(extensions?.code))
    },
    onResponse({ request, response }) {
      const scope = currentRequest()
      if (!scope) return
      response.headers.set('x-request-id', scope.requestId)
      note(observed, request, response.status)
    },
  }
}

function noteOperation(document: DocumentNode, operationName: string | null | undefined): void {
  const scope = currentRequest()
  const operation = getOperationAST(document, operationName)
  if (!scope || !operation) return
  scope.operation = operation.operation
  scope.fields = operation.selectionSet.selections.flatMap((each) =>
    each.kind === Kind.FIELD ? [each.name.value] : [],
  )
}

function note({ log, metrics, traces }: Observed, request: Request, status: number): void {
  const scope = currentRequest()
  if (!scope) return
  const path = pathOf(request.url)
  const operation = BESIDE.find(([beginning]) => path.startsWith(beginning))?.[1] ?? scope.operation
  const seconds = (performance.now() - scope.began) / 1000
  metrics?.requests.inc({ operation, status })
  metrics?.requestSeconds.observe({ operation }, seconds)
  for (const code of scope.codes) metrics?.refusals.inc({ code })
  const isRoutine = operation === 'health' || operation === 'metrics'
  log?.[isRoutine ? 'debug' : 'info']('request', {
    ...{ method: request.method, path, status, milliseconds: Math.round(seconds * 1e4) / 10, operation },
    ...(scope.fields.length > 0 ? { fields: scope.fields.slice(0, MOST_NAMED) } : {}),
    ...(scope.codes.size > 0 ? { codes: [...scope.codes] } : {}),
    ...scope.caller,
  })
  if (isRoutine) return
  traces?.ended({
    name: [operation, ...scope.fields.slice(0, 1)].join(' '),
    ...{ seconds, isServer: true, isFault: status >= 500, parent: traceParentOf(request.headers.get('traceparent')) },
    attributes: {
      'http.request.method': request.method,
      'url.path': path,
      'http.response.status_code': status,
      'fillwright.request.id': scope.requestId,
    },
  })
}

/** Longest path that is logged. */
const LONGEST_PATH = 200

/** Without what is behind `?`: there may be a key. */
function pathOf(url: string): string {
  const path = URL.canParse(url, 'http://localhost')
    ? new URL(url, 'http://localhost').pathname
    : (url.split('?')[0] ?? '')
  return path.slice(0, LONGEST_PATH)
}
