// The page of the query editor: nine megabytes, built once a day (its worked queries name days) and compressed once, one
// buffer for all requests. The page contains all its parts and loads nothing from outside.
import { createHash } from 'node:crypto'
import { once } from 'node:events'
import { Worker } from 'node:worker_threads'
import type { Plugin } from 'graphql-yoga'
import { chosenEncoding, compressed } from './encoding.ts'

/** What a tab of the editor holds; variables and headers as JSON. */
export interface EditorTab {
  query: string
  headers: string
  variables: string
}

/** Nine megabytes in half a second, to a third. */
const QUALITY = 5

/** One form of the page, as it is sent. */
interface Form {
  body: Uint8Array<ArrayBuffer>
  headers: Record<string, string>
}

/**
 * Answers browsers at `path` with the editor. `tabsNow` gives the tabs with which a first visit begins, and the day for
 * which they are.
 */
export function editorPage(path: string, tabsNow: () => { day: string; tabs: EditorTab[] }): Plugin {
  let built: { day: string; forms: Map<string, Promise<Form>> } | undefined

  /** The page in one encoding, built when first asked for on a day. */
  function formFor(encoding: ReturnType<typeof chosenEncoding>): Promise<Form> {
    const { day, tabs } = tabsNow()
    if (built?.day !== day) built = { day, forms: new Map([['', plainForm(tabs)]]) }
    const { forms } = built
    const form = forms.get(encoding ?? '') ?? encodedForm(forms.get('') ?? plainForm(tabs), encoding)
    forms.set(encoding ?? '', form)
    return form
  }

  return {
    async onRequest({ request, url, fetchAPI, endResponse }) {
      if (request.method !== 'GET' || url.pathname !== path) return
      if (!request.headers.get('accept')?.includes('text/html')) return
      const { body, headers } = await formFor(chosenEncoding(request.headers.get('accept-encoding')))
      const known = request.headers.get('if-none-match')?.includes(headers.etag ?? '')
      endResponse(new fetchAPI.Response(known ? null : body, { status: known ? 304 : 200, headers }))
    },
  }
}

/** What the thread is given, and what it answers. */
export interface EditorTask {
  tabs: readonly EditorTab[]
  /** A script for the end of the head. */
  script: string
}
export interface EditorAnswer {
  body: Uint8Array<ArrayBuffer>
  /** The content policy of the page. */
  policy: string
}

/** On a thread of its own: the editor's parts are read and hashed in half a second, in which all others would wait. */
async function plainForm(tabs: readonly EditorTab[]): Promise<Form> {
  const [first] = tabs
  const workerData: EditorTask = { tabs, script: first ? fillFirstTab(first) : '' }
  const worker = new Worker(new URL('./editor-thread.mjs', import.meta.url), { workerData, execArgv: [] })
  const ended = once(worker, 'exit').then((): never => {
    throw new Error('The thread of the editor ended without a page.')
  })
  ended.catch(() => undefined)
  const answered = new Promise<EditorAnswer>((resolve) => worker.once('message', resolve))
  const { body, policy } = await Promise.race([answered, ended])
  return formOf(body, { 'content-security-policy': policy })
}

async function encodedForm(plain: Promise<Form>, encoding: ReturnType<typeof chosenEncoding>): Promise<Form> {
  if (!encoding) return plain
  const { body, headers } = await plain
  const policy = { 'content-security-policy': headers['content-security-policy'] ?? '' }
  return formOf(new Uint8Array(await compressed(body, encoding, QUALITY)), { ...policy, 'content-encoding': encoding })
}

function formOf(body: Uint8Array<ArrayBuffer>, headers: Record<string, string>): Form {
  return {
    body,
    headers: {
      'content-type': 'text/html; charset=utf-8',
      'content-length': String(body.length),
      ...headers,
      etag: `"${createHash('sha256').update(body).digest('base64url')}"`,
      // A browser asks again whether it is still the page, and gets no byte of it where it is.
      'cache-control': 'public, max-age=0, must-revalidate',
      vary: 'accept, accept-encoding',
    },
  }
}

/**
 * The script that gives the first tab its variables and headers. The editor takes those of the tab that it opens with from
 * what the browser keeps, not from the tab; without the query it would not know the tab again at the next visit, and open
 * another. A returning visitor has tabs of their own.
 */
export function fillFirstTab({ query, variables, headers }: EditorTab): string {
  const text = (value: string) => JSON.stringify(value).replaceAll('<', '\\u003c')
  return `if (!localStorage.getItem('graphiql:tabState') && !new URLSearchParams(location.search).has('query')) {
  localStorage.setItem('graphiql:query', ${text(query)})
  localStorage.setItem('graphiql:variables', ${text(variables)})
  localStorage.setItem('graphiql:headers', ${text(headers)})
}`
}
