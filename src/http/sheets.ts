// Sheets beside GraphQL, read by GET or HEAD: /sheets/<name>.html prints on a page of paper, /sheets/<name>.txt is for a terminal.
// A browser that shows no key is asked for one: its user leaves the name empty and types the key as the password.
import type { Plugin } from 'graphql-yoga'
import { Forbidden, Unauthenticated } from '../errors.ts'
import { GUARDS } from './browsers.ts'
import { answerOf, type HttpAnswer, shownError, wrongMethod } from './refusals.ts'

/** A sheet as it is sent. */
export interface PrintedSheet {
  /** The revision that it was made from. */
  revision: number
  html: string
  text: string
}

export interface SheetsOptions {
  /** The names of the sheets, such as `today`. */
  names: readonly string[]
  /** Makes a sheet from the parameters of the address. Throws a refusal where the key or a parameter is not good. */
  make: (request: Request, name: string, parameters: URLSearchParams) => Promise<PrintedSheet>
  onFault: (error: unknown, id: string) => void
}

const ADDRESS = /^\/sheets\/([a-z]+)\.(html|txt)$/

/** Answers requests for sheets. */
export function sheets({ names, make, onFault }: SheetsOptions): Plugin {
  return {
    async onRequest({ request, url, fetchAPI, endResponse }) {
      const [, name = '', form] = ADDRESS.exec(url.pathname) ?? []
      if (!names.includes(name)) return
      const { body, ...init } = await answer(request, form === 'html', () =>
        make(request, name, url.searchParams),
      ).catch((error: unknown) => refusal(error, onFault))
      endResponse(new fetchAPI.Response(request.method === 'HEAD' ? null : body, init))
    },
  }
}

async function answer(request: Request, asHtml: boolean, make: () => Promise<PrintedSheet>): Promise<HttpAnswer> {
  const refused = wrongMethod(request, 'GET', 'HEAD')
  if (refused) return refused
  const { revision, html, text } = await make()
  const headers = {
    'cache-control': 'private, no-store',
    'content-type': `text/${asHtml ? 'html' : 'plain'}; charset=utf-8`,
    // Names of accounts and beers are shown as text; should one ever not be, nothing runs.
    'content-security-policy': `${GUARDS['content-security-policy']}; style-src 'unsafe-inline'`,
    'x-revision': String(revision),
  }
  return { status: 200, headers, body: asHtml ? html : text }
}

/** A browser asks its user for a key where the address is answered so (RFC 7617); so do calendar programs. */
const CHALLENGE = { 'www-authenticate': 'Basic realm="Fillwright: the key is the password", charset="UTF-8"' }

export function refusal(error: unknown, onFault: SheetsOptions['onFault']): HttpAnswer {
  const { headers, ...rest } = answerOf(shownError(error, onFault))
  const isAsked = error instanceof Unauthenticated
  const scope = error instanceof Forbidden ? `Bearer error="insufficient_scope", scope="${error.scope}"` : undefined
  return {
    ...rest,
    headers: { ...headers, ...(isAsked ? CHALLENGE : {}), ...(scope ? { 'www-authenticate': scope } : {}) },
  }
}

/** The key that a browser sends as the password of Basic credentials; undefined where there are none. */
export function keyOfBrowser(headers: Headers): string | undefined {
  const [, encoded] = /^basic +([a-z0-9+/=]+)$/i.exec(headers.get('authorization') ?? '') ?? []
  if (encoded === undefined) return undefined
  const text = Buffer.from(encoded, 'base64').toString('utf8')
  return text.slice(text.indexOf(':') + 1)
}
