/** An alarm rings by these words: whoever runs the service has to call somebody. */
export const nobodyLeft = 'nobody is left to be told'
