"""What runs on a machine under test: standard library only, to disturb the machine as little as it can.

The workbench hands it out as one file. It shows the next run, runs scripted tests, watches the folder where
logs appear, records what the system lets it read, and sends everything home; what is not home yet lies on
disk.
"""
