"""The main job once, over HTTP, as the different people who do it."""
