// The inputs that create and change set-up things: one list of fields makes both. Descriptions come from the records'
// own comments unless a field brings its own.
import type { InputTypeParam } from '@pothos/core'
import type { ThingKind } from '../../resolvers/thing-ref.ts'
import { builder } from '../builder.ts'
import { getDatamodel } from '../generated/pothos.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { fieldOfKind, wordsOfKind } from './kind-words.ts'

type Types = typeof builder.$inferSchemaTypes

export interface InputField {
  type: InputTypeParam<Types>
  /** Whether creating needs it; changing never does. */
  needed?: boolean
  /** Whether it is given once and never changes. */
  fixed?: boolean
  /** Absent: what the records say about the field of this name. */
  description?: string
}

const { models } = getDatamodel().datamodel

/** What the records say about a field. Throws where they say nothing. */
export function recorded(model: string, field: string): string {
  const text = models[model]?.fields.find(({ name }) => name === field)?.documentation
  if (!text) throw new Error(`the records do not describe ${model}.${field}`)
  return text
}

/** The same for a list, with its maximum. */
export function recordedList(model: string, field: string, most: number): string {
  return `${recorded(model, field)} At most ${most}.`
}

const UPSERT =
  'True: where a thing has the `externalRef` already, which must be given, it is changed: what is given takes its new value, null takes an optional value away, the rest stays, and what never changes must be as it is. False or absent: the reference must be free.'

/** The inputs `CreateXInput` and `ChangeXInput` of a kind. */
export function setupInputs(kind: ThingKind, fields: Record<string, InputField>) {
  const words = wordsOfKind(kind)
  const all = Object.entries(fields)
  const description = (field: string, given: string | undefined) => given ?? recorded(kind, field)
  const createInput = builder.inputType(`Create${kind}Input`, {
    description: `A new ${words}.`,
    fields: (t) => ({
      upsert: t.boolean({ description: UPSERT }),
      ...Object.fromEntries(
        all.map(([field, { type, needed = false, ...said }]) => [
          field,
          t.field({ type, required: needed, description: description(field, said.description) }),
        ]),
      ),
    }),
  })
  const changeInput = builder.inputType(`Change${kind}Input`, {
    description: `What to change of a ${words}.`,
    fields: (t) => ({
      [fieldOfKind(kind)]: t.field({ type: ThingRefInput, required: true, description: `The ${words} to change.` }),
      ...Object.fromEntries(
        all
          .filter(([, { fixed }]) => !fixed)
          .map(([field, { type, ...said }]) => [
            field,
            t.field({ type, description: description(field, said.description) }),
          ]),
      ),
    }),
  })
  return { createInput, changeInput }
}
