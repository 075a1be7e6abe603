/** Waits within a run. */
export const sleep = (millis: number): Promise<void> =>
  new Promise((done) => {
    setTimeout(done, millis)
  })
