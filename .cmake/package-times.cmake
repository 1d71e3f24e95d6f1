# Before the .deb is closed: no file is newer than the last commit, so that the same tree makes the same
# package.
if(DEFINED ENV{SOURCE_DATE_EPOCH})
  execute_process(COMMAND find ${CPACK_TEMPORARY_DIRECTORY} -newermt @$ENV{SOURCE_DATE_EPOCH}
    -exec touch -h -d @$ENV{SOURCE_DATE_EPOCH} {} + COMMAND_ERROR_IS_FATAL ANY)
endif()
