// What a command of a random sequence is: words that a failure shows, and what it does to the records and to the model.
import type * as fc from 'fast-check'
import type { Brewery } from './brewery.ts'
import type { Model } from './model.ts'

type Do = (model: Model, brewery: Brewery) => Promise<void>
export type Command = fc.AsyncCommand<Model, Brewery>

/** A command by its words, which a failure shows; `may` says when it makes sense. */
export function command(words: string, act: Do, may: (model: Readonly<Model>) => boolean = () => true): Command {
  return {
    check: may,
    run: async (model, brewery) => {
      await act(model, brewery)
      model.steps += 1
      if (!words.startsWith('ask')) await brewery.expectLike(model, words)
    },
    toString: () => words,
  }
}
