"""Contacts, thermostats, ignition and timer: discrete behaviour without heat transfer."""
