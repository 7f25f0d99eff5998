// The root fields of a query are answered a few at a time, with the turns of others in between: a query may name hundreds, each of
// which reads a page, and all of them at once would keep every other request waiting for the last.
import { defaultFieldResolver, type GraphQLField, type GraphQLSchema } from 'graphql'
import { nextTurn } from '../thread-turns.ts'
import { Context } from './context.ts'

/** Root fields of one query that are answered at once: more than a page of a client asks for. */
const AT_ONCE = 8

/** Lets the root fields of queries wait for each other. Changes the schema in place and answers it. */
export function fieldsInTurn(schema: GraphQLSchema): GraphQLSchema {
  for (const field of Object.values(schema.getQueryType()?.getFields() ?? {})) waitInTurn(field)
  return schema
}

function waitInTurn(field: GraphQLField<unknown, unknown>): void {
  const resolve = field.resolve ?? defaultFieldResolver
  field.resolve = (root, args, context, info) => {
    const answer = (): unknown => resolve(root, args, context, info)
    return context instanceof Context ? lineOf(context).run(answer) : answer()
  }
}

const lines = new WeakMap<Context, FieldLine>()

function lineOf(context: Context): FieldLine {
  const line = lines.get(context) ?? new FieldLine()
  lines.set(context, line)
  return line
}

/** The root fields of one query, in their order. */
export class FieldLine {
  readonly #waiting: (() => void)[] = []
  #running = 0

  /** Answers as the field does, once it is its turn. */
  run(answer: () => unknown): unknown {
    this.#running += 1
    if (this.#running <= AT_ONCE) return this.#ended(answer)
    return new Promise<void>((resolve) => this.#waiting.push(resolve)).then(() => this.#ended(answer))
  }

  #ended(answer: () => unknown): unknown {
    try {
      const value = answer()
      if (value instanceof Promise) return value.finally(() => this.#next())
      this.#next()
      return value
    } catch (error) {
      this.#next()
      throw error
    }
  }

  #next(): void {
    this.#running -= 1
    const next = this.#waiting.shift()
    if (next) void nextTurn().then(next)
  }
}
